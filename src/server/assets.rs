//! The board's pages: compiled into the program, read from disk while developing.
//!
//! Only files under `web/` can be asked for, by their exact names. A browser keeps them but asks
//! each time whether they changed, so a new program is never shown with old pages.

use super::problem::Problem;
use actix_web::http::header::{self, EntityTag, IfNoneMatch};
use actix_web::{HttpRequest, HttpResponse, web};
use rust_embed::{EmbeddedFile, RustEmbed};

#[derive(RustEmbed)]
#[folder = "web/"]
struct Web;

/// `GET /...`: a file, the first page for `/`.
///
/// # Errors
/// There is no such file.
pub async fn asset(
    request: HttpRequest,
    asked: Option<web::Header<IfNoneMatch>>,
) -> Result<HttpResponse, Problem> {
    let path = match request.path().trim_start_matches('/') {
        "" => "index.html",
        path => path,
    };
    let file =
        find(path).ok_or_else(|| Problem::not_found(format!("There is no page {path:?}.")))?;
    let tag = EntityTag::new_strong(hex::encode(&file.metadata.sha256_hash()[..16]));
    let known = matches!(asked, Some(web::Header(IfNoneMatch::Items(known)))
        if known.iter().any(|k| k.weak_eq(&tag)));
    let mut response = if known {
        HttpResponse::NotModified()
    } else {
        HttpResponse::Ok()
    };
    response
        .insert_header(header::ETag(tag))
        .insert_header((header::CACHE_CONTROL, "no-cache"));
    if known {
        // No body: on a kept connection it would be read as the next answer.
        return Ok(response.finish());
    }
    Ok(response.content_type(kind_of(path, &file)).body(file.data))
}

/// Plain names only: what is read from disk while developing must not lead out of the folder.
fn find(path: &str) -> Option<EmbeddedFile> {
    let plain = |part: &str| {
        let known = |c: char| c.is_ascii_alphanumeric() || "-_.".contains(c);
        !part.starts_with('.') && !part.is_empty() && part.chars().all(known)
    };
    path.split('/').all(plain).then(|| Web::get(path)).flatten()
}

fn kind_of(path: &str, file: &EmbeddedFile) -> String {
    let kind = match path.rsplit('.').next() {
        Some("js" | "mjs") => "text/javascript",
        _ => file.metadata.mimetype(),
    };
    match kind {
        text if text.starts_with("text/") => format!("{text}; charset=utf-8"),
        other => other.to_owned(),
    }
}
