//! The copies of the journal as the lead sees them: which there are, one more, one to take away.

use super::Site;
use super::copy_keeper::Told;
use super::json::must_be;
use super::problem::Problem;
use super::reached::Loss;
use crate::copies::{Kept, is_name, list};
use actix_web::http::{StatusCode, header};
use actix_web::{HttpRequest, HttpResponse, web};
use bytes::Bytes;
use futures_util::stream::try_unfold;
use schemars::JsonSchema;
use serde::Serialize;
use std::fs::File;
use std::io::{self, Read};

/// How many bytes are sent at a time.
const CHUNK: usize = 64 << 10;

/// How it stands with the copies.
#[derive(Serialize, JsonSchema)]
pub struct CopyList {
    #[serde(flatten)]
    told: Told,
    /// What the disk has lost of late.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lost: Vec<Loss>,
    /// How often one is made where something changed, in minutes; none if only when asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    every_min: Option<u64>,
    /// The newest first.
    copies: Vec<Kept>,
}

/// `GET /api/copies`: the copies there are, and whether all is well.
///
/// # Errors
/// The folder cannot be read.
pub async fn copies(site: web::Data<Site>) -> Result<web::Json<CopyList>, Problem> {
    let folder = site.copies_folder();
    let copies = web::block(move || list(&folder))
        .await?
        .map_err(Problem::internal)?;
    Ok(web::Json(CopyList {
        told: site.copies.told(),
        lost: site.reached.lost(site.days.clock().now()),
        every_min: site.copy_every.map(|every| every.as_secs() / 60),
        copies,
    }))
}

/// `POST /api/copies`: makes one now.
///
/// # Errors
/// What is sent is not JSON, or no copy could be made.
pub async fn make(site: web::Data<Site>, request: HttpRequest) -> Result<web::Json<Kept>, Problem> {
    must_be(&request)?;
    let made = site.copies.make_now().await;
    made.map(web::Json).map_err(|why| {
        Problem::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "storage-failed",
            format!("No copy was made: {why}."),
            "See that the disk has room and is sound, then try once more.",
        )
    })
}

/// `GET /api/copies/{name}`: one of them as a file.
///
/// # Errors
/// There is no such copy. A disk that fails later ends the file
/// early, as a body without its last chunk.
pub async fn copy(site: web::Data<Site>, name: web::Path<String>) -> Result<HttpResponse, Problem> {
    let none = || Problem::not_found(format!("There is no copy {:?}.", name.as_str()));
    if !is_name(&name) {
        return Err(none());
    }
    let path = site.copies_folder().join(name.as_str());
    let file = match web::block(move || File::open(path)).await? {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Err(none()),
        Err(error) => return Err(Problem::internal(error)),
    };
    let body = try_unfold(file, |file| async {
        let read = web::block(move || next(file))
            .await
            .map_err(Problem::internal)?;
        read.map_err(Problem::internal)
    });
    let disposition = format!("attachment; filename=\"{}\"", name.as_str());
    Ok(HttpResponse::Ok()
        .content_type("application/vnd.sqlite3")
        .insert_header((header::CONTENT_DISPOSITION, disposition))
        .streaming(Box::pin(body)))
}

fn next(mut file: File) -> io::Result<Option<(Bytes, File)>> {
    let mut chunk = Vec::with_capacity(CHUNK);
    let read = file.by_ref().take(CHUNK as u64).read_to_end(&mut chunk)?;
    Ok((read > 0).then(|| (Bytes::from(chunk), file)))
}
