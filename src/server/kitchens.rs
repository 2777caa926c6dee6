//! Ready kitchens to start from, compiled in from `fixtures/kitchens/`.
//!
//! A day is opened with a plan; these are plans without people and fruit, to be filled in.

use super::problem::Problem;
use actix_web::HttpResponse;
use rust_embed::RustEmbed;
use serde_json::{Map, Value};

#[derive(RustEmbed)]
#[folder = "fixtures/kitchens/"]
struct Kitchens;

/// `GET /api/kitchens`: each with its name, what it is for and its plan.
///
/// # Errors
/// A file is no JSON, which the tests rule out.
pub async fn kitchens() -> Result<HttpResponse, Problem> {
    let mut all = Map::new();
    for path in Kitchens::iter() {
        let Some(file) = Kitchens::get(&path) else {
            continue;
        };
        let kitchen: Value = serde_json::from_slice(&file.data).map_err(Problem::internal)?;
        all.insert(path.trim_end_matches(".json").to_owned(), kitchen);
    }
    Ok(HttpResponse::Ok().json(all))
}
