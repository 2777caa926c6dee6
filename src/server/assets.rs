//! The board's pages: compiled into the program, read from disk while developing.
//!
//! Only files under `web/` can be asked for, by their exact names. A browser keeps them but asks
//! each time whether they changed, so a new program is never shown with old pages. They are told
//! without their comments and packed as small as gzip can, once each: a phone at the edge of the Wi-Fi
//! waits for every byte. One file, the door to the words, leads to the language of the device that asks.

use super::problem::Problem;
use super::slim::{slim, whole_style};
use actix_web::http::header::{self, AcceptEncoding, Encoding, EntityTag, IfNoneMatch};
use actix_web::web::Bytes;
use actix_web::{HttpRequest, HttpResponse, web};
use dashmap::DashMap;
use flate2::{Compression, write::GzEncoder};
use rust_embed::{EmbeddedFile, RustEmbed};
use sha2::{Digest, Sha256};
use std::io::Write;
use std::sync::LazyLock;

/// What was packed before, by the sum of what is packed.
static PACKED: LazyLock<DashMap<[u8; 32], Bytes>> = LazyLock::new(DashMap::new);

/// The door to the words, which leads to English as it stands in the file.
const WORDS: &str = "words/device.js";
/// The languages there are words in; the first where a device asks for none of them.
const LANGUAGES: [&str; 2] = ["en", "es"];
/// What a device has chosen. The page sets it, so that the first load has the right words.
const LANGUAGE_COOKIE: &str = "putby-language";

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
    accepted: Option<web::Header<AcceptEncoding>>,
) -> Result<HttpResponse, Problem> {
    let path = match request.path().trim_start_matches('/') {
        "" => "index.html",
        path => path,
    };
    let page =
        page(path).ok_or_else(|| Problem::not_found(format!("There is no page {path:?}.")))?;
    let language = (path == WORDS).then(|| language(&request));
    let tag = hex::encode(&page.sum[..16]);
    let tag = EntityTag::new_strong(tag + language.unwrap_or_default());
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
    if language.is_some() {
        response.insert_header((header::VARY, "Accept-Language, Cookie"));
    }
    if known {
        // No body: on a kept connection it would be read as the next answer.
        return Ok(response.finish());
    }
    response.content_type(page.kind.clone());
    if let Some(language) = language {
        let door = String::from_utf8_lossy(&page.bytes);
        return Ok(response.body(door.replace("./en.js", &format!("./{language}.js"))));
    }
    let gzip = accepted.is_some_and(|web::Header(AcceptEncoding(list))| {
        let named = |item: &header::QualityItem<header::Preference<Encoding>>| {
            item.quality > header::Quality::ZERO && item.item.item() == Some(&Encoding::gzip())
        };
        list.iter().any(named)
    });
    if !gzip {
        return Ok(response.body(page.bytes));
    }
    let small = packed(&page).map_err(Problem::internal)?;
    Ok(response
        .insert_header((header::CONTENT_ENCODING, "gzip"))
        .insert_header((header::VARY, "accept-encoding"))
        .body(small))
}

/// A file as it is told.
struct Page {
    bytes: Bytes,
    /// SHA-256 of the bytes.
    sum: [u8; 32],
    /// The media type.
    kind: String,
}

fn page(path: &str) -> Option<Page> {
    let file = find(path)?;
    let kind = kind_of(path, &file);
    let own = !path.starts_with("vendor/");
    let text = match std::str::from_utf8(&file.data) {
        Ok(text) if own && path.ends_with(".js") => Some(slim(text)),
        Ok(text) if own && path.ends_with(".css") => Some(style(path, text)),
        _ => None,
    };
    let bytes = text.map_or_else(|| Bytes::from(file.data.into_owned()), Bytes::from);
    let sum = Sha256::digest(&bytes).into();
    Some(Page { bytes, sum, kind })
}

/// A style with those beside it that it imports.
fn style(path: &str, text: &str) -> String {
    let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
    let beside = |name: &str| {
        let file = find(&format!("{folder}/{name}"))?;
        Some(slim(std::str::from_utf8(&file.data).ok()?))
    };
    whole_style(&slim(text), beside)
}

fn packed(page: &Page) -> std::io::Result<Bytes> {
    if let Some(known) = PACKED.get(&page.sum) {
        return Ok(known.clone());
    }
    let mut out = GzEncoder::new(Vec::new(), Compression::best());
    out.write_all(&page.bytes)?;
    let small = Bytes::from(out.finish()?);
    PACKED.insert(page.sum, small.clone());
    Ok(small)
}

/// The language a device has chosen, or the first that its browser asks for and there is.
pub(super) fn language(request: &HttpRequest) -> &'static str {
    let there = |asked: &str| LANGUAGES.into_iter().find(|known| *known == asked);
    let chosen = request.cookie(LANGUAGE_COOKIE);
    if let Some(chosen) = chosen.and_then(|cookie| there(cookie.value())) {
        return chosen;
    }
    let asked = request.headers().get(header::ACCEPT_LANGUAGE);
    let asked = asked.and_then(|value| value.to_str().ok()).unwrap_or("");
    // Browsers name the liked ones first.
    let mut primary = asked
        .split(',')
        .map(|range| range.trim().split(['-', ';']).next().unwrap_or(""));
    primary.find_map(there).unwrap_or(LANGUAGES[0])
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
