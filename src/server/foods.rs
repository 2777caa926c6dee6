//! What the board can be asked about the trade: the foods with a tested process, and one of them.

use super::problem::Problem;
use crate::trade::{self, Jar, Method, Pack};
use actix_web::http::StatusCode;
use actix_web::{HttpResponse, web};
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::{Value, json};

/// `GET /api/foods`: every food with a tested process, and by which methods, packs and jars.
pub async fn foods() -> HttpResponse {
    let foods: Vec<Value> = trade::products().iter().map(food).collect();
    HttpResponse::Ok().json(json!({ "foods": foods }))
}

fn food(product: &trade::Product) -> Value {
    let tabled: Vec<Value> = trade::list()
        .filter(|table| table.product == product.name)
        .map(|table| json!({"method": table.method, "pack": table.pack, "jar": table.jar}))
        .collect();
    let made_of = trade::produce().iter();
    let produce: Vec<&str> = made_of
        .filter(|produce| produce.products.contains(&product.name))
        .map(|produce| produce.name.as_str())
        .collect();
    let mut food = json!({
        "name": product.name,
        "produce": produce,
        "acidity": product.acidity,
        "tabled": tabled,
        "source": product.source,
    });
    if let Some(caution) = &product.caution {
        food["caution"] = json!(caution);
    }
    food
}

/// What a process is asked for by.
#[derive(Debug, Deserialize, JsonSchema)]
#[schemars(rename = "TestedAsk")]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// The food, as the list of foods names it.
    product: String,
    /// How it is packed.
    pack: Pack,
    /// The jar.
    jar: Jar,
    /// The method; by boiling water, if left out.
    #[serde(default = "boiling_water")]
    method: Method,
    /// Height of the kitchen above sea level in feet.
    altitude_ft: i32,
}

fn boiling_water() -> Method {
    Method::BoilingWater
}

/// `GET /api/tested?product=&pack=&jar=&method=&altitude_ft=`: one tested process.
///
/// # Errors
/// The question is not whole, or there is no tested process.
pub async fn tested(
    asked: Result<web::Query<Asked>, actix_web::Error>,
) -> Result<HttpResponse, Problem> {
    let asked = asked.map_err(|error| {
        Problem::malformed(
            format!("The question cannot be read: {error}."),
            "Say product, pack, jar and altitude_ft, as in ?product=pears&pack=hot&jar=quart&altitude_ft=640.",
        )
    })?;
    let Asked {
        product,
        pack,
        jar,
        method,
        altitude_ft,
    } = asked.into_inner();
    match trade::tested(&product, pack, jar, method, altitude_ft) {
        Ok(tested) => Ok(HttpResponse::Ok().json(tested)),
        Err(reason) => Err(Problem::new(
            StatusCode::NOT_FOUND,
            reason.code(),
            reason.to_string(),
            reason.instead(),
        )),
    }
}
