//! The gate before every route: who may be asked for, and from which page.
//!
//! What it keeps true: a page from elsewhere cannot order anything or watch a day through a
//! visitor's browser, neither directly (the origin must be this server) nor under a name that was
//! made to point here (only numbers and names that no stranger can own are answered).

use super::Site;
use super::problem::Problem;
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{self, HeaderMap, HeaderValue};
use actix_web::http::{Method, StatusCode};
use actix_web::middleware::Next;
use actix_web::{Error, web};
use std::net::IpAddr;

/// Endings that the public name system does not hand out (RFC 6762, RFC 8375, and the reserved
/// `internal`; `lan` and `home` are common in routers and not delegated).
const HOME_ENDINGS: [&str; 5] = [".local", ".home.arpa", ".internal", ".lan", ".home"];

/// Lets a request through, or answers why not.
///
/// # Errors
/// The name is not this server's, or the page is not.
pub async fn gate(
    site: web::Data<Site>,
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    let host = header_text(&request, header::HOST)
        .unwrap_or_default()
        .to_owned();
    let host = host.as_str();
    if !is_ours(host, &site.names) {
        return Err(Problem::new(
            StatusCode::MISDIRECTED_REQUEST,
            "unknown-host",
            format!("This server is not known as {host:?}."),
            "Open it by its number, or start it with --name and this name.",
        )
        .into());
    }
    let acts = request.method() != Method::GET && request.method() != Method::HEAD;
    let upgrades = request.headers().contains_key(header::UPGRADE);
    if (acts || upgrades) && !is_same_origin(&request, host) {
        return Err(Problem::new(
            StatusCode::FORBIDDEN,
            "foreign-page",
            "Only this server's own pages may do this from a browser.",
            "Open the board from this server's address.",
        )
        .into());
    }
    let mut response = next.call(request).await?;
    if !follows_its_page(response.headers()) {
        response
            .headers_mut()
            .insert(header::CONTENT_SECURITY_POLICY, content_policy(host)?);
    }
    Ok(response)
}

/// Scripts and styles are under the policy of the page that loads them; their own is never read.
fn follows_its_page(headers: &HeaderMap) -> bool {
    let kind = headers.get(header::CONTENT_TYPE);
    kind.and_then(|kind| kind.to_str().ok())
        .is_some_and(|kind| kind.starts_with("text/javascript") || kind.starts_with("text/css"))
}

/// What a page may load and from where: this server alone, and nobody may frame it. Browsers before
/// 2022 take a WebSocket for another place unless it is named.
fn content_policy(host: &str) -> Result<HeaderValue, Error> {
    let policy = format!(
        "default-src 'self'; connect-src 'self' ws://{host} wss://{host}; img-src 'self' data:; \
         object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    );
    HeaderValue::from_str(&policy).map_err(|error| Problem::internal(error).into())
}

fn is_same_origin(request: &ServiceRequest, host: &str) -> bool {
    let mut origins = request.headers().get_all(header::ORIGIN);
    match (origins.next(), origins.next()) {
        // No browser: a script, which carries no cookie of a visitor.
        (None, None) => true,
        (Some(origin), None) => ["http://", "https://"]
            .iter()
            .any(|scheme| origin.to_str().ok().and_then(|o| o.strip_prefix(scheme)) == Some(host)),
        _ => false,
    }
}

fn is_ours(host: &str, names: &[String]) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || "-_.:[]".contains(c);
    if !host.chars().all(plain) {
        return false;
    }
    let name = without_port(host);
    let bare = name.trim_start_matches('[').trim_end_matches(']');
    let name = name.to_ascii_lowercase();
    bare.parse::<IpAddr>().is_ok()
        || (!name.is_empty() && !name.contains('.'))
        || HOME_ENDINGS.iter().any(|ending| name.ends_with(ending))
        || names.iter().any(|ours| ours.eq_ignore_ascii_case(&name))
}

fn without_port(host: &str) -> &str {
    match host.rsplit_once(':') {
        Some((name, port)) if port.chars().all(|c| c.is_ascii_digit()) => name,
        _ => host,
    }
}

fn header_text(request: &ServiceRequest, name: header::HeaderName) -> Option<&str> {
    request.headers().get(name)?.to_str().ok()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_names_of_the_home_are_ours() {
        let names = ["board.example.org".to_owned()];
        let ours = [
            "127.0.0.1:8080",
            "192.168.1.5",
            "[::1]:8080",
            "[fe80::1]",
            "localhost:80",
            "kitchen",
            "putby.local:8080",
            "Board.Example.org:8080",
        ];
        for host in ours {
            assert!(is_ours(host, &names), "{host}");
        }
    }

    #[test]
    fn names_that_a_stranger_can_own_are_not() {
        for host in [
            "",
            "evil.test",
            "127.0.0.1.evil.test:80",
            "local.evil.com",
            ":80",
        ] {
            assert!(!is_ours(host, &[]), "{host}");
        }
    }
}
