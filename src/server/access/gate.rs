//! The gate before every route: from which page and by which name it is asked (`check_page`, for all
//! routes), and whether the device stands high enough (`check_rank`, for each route its own).
//!
//! What it keeps true: a page from elsewhere cannot order anything or watch a day through a
//! visitor's browser, neither directly (the origin must be this server) nor under a name that was
//! made to point here. No handler runs before both have said yes.

use super::device::Device;
use super::host::is_same_origin;
use super::rank::Rank;
use crate::server::Site;
use crate::server::problem::Problem;
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{self, HeaderMap, HeaderValue};
use actix_web::http::{Method, StatusCode, Version};
use actix_web::middleware::Next;
use actix_web::{Error, HttpMessage, web};

/// Lets a request through that asks for this server by a name of its own, from a page of its own.
///
/// # Errors
/// The name is not this server's, is said twice, or the page is not.
pub async fn check_page(
    site: web::Data<Site>,
    mut request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    say_host(&mut request);
    let host = host_of(&request)?.to_owned();
    let host = host.as_str();
    if !site.access.hosts.are_ours(host, || site.home_names()) {
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
    if (acts || upgrades) && !is_own_page(&request, host) {
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
        let headers = response.headers_mut();
        headers.insert(header::CONTENT_SECURITY_POLICY, content_policy(host)?);
        headers.insert(
            header::REFERRER_POLICY,
            HeaderValue::from_static("same-origin"),
        );
    }
    Ok(response)
}

/// Lets a request through to a route that asks for the rank `least`, and says who asks.
///
/// # Errors
/// The device stands too low.
pub async fn check_rank(
    least: Rank,
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    let site = request.app_data::<web::Data<Site>>();
    let site = site.ok_or_else(|| Problem::internal("a route without its site"))?;
    let found = request.extensions_mut().remove::<Device>();
    let device = match found {
        Some(device) => device,
        None => site
            .access
            .recognise(request.request(), site.days.clock().now())?,
    };
    device.rank.must_be(least)?;
    request.extensions_mut().insert(device);
    next.call(request).await
}

/// Says as a header what HTTP/2 says by itself (RFC 9113, section 8.3.1): it comes with TLS.
fn say_host(request: &mut ServiceRequest) {
    if request.version() != Version::HTTP_2 || request.headers().contains_key(header::HOST) {
        return;
    }
    let asked = request.uri().authority();
    if let Some(host) = asked.and_then(|asked| HeaderValue::from_str(asked.as_str()).ok()) {
        request.headers_mut().insert(header::HOST, host);
    }
}

/// The one name by which the server is asked. Said twice, or in the address and the header each
/// otherwise, two programs on the way could take it for two (RFC 9112, section 3.2).
fn host_of(request: &ServiceRequest) -> Result<&str, Problem> {
    let unclear = || {
        Problem::malformed(
            "The request does not say once by which name this server is asked.",
            "Send one Host header, the same as in the address.",
        )
    };
    let mut hosts = request.headers().get_all(header::HOST);
    let (Some(host), None) = (hosts.next(), hosts.next()) else {
        return Err(unclear());
    };
    let host = host.to_str().map_err(|_| unclear())?;
    match request.uri().authority() {
        Some(asked) if asked.as_str() != host => Err(unclear()),
        _ => Ok(host),
    }
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

fn is_own_page(request: &ServiceRequest, host: &str) -> bool {
    let mut origins = request.headers().get_all(header::ORIGIN);
    match (origins.next(), origins.next()) {
        // No browser: a script, which carries no cookie. A browser says the origin with all it sends
        // that is looked at here.
        (None, None) => !request.headers().contains_key(header::COOKIE),
        (Some(origin), None) => origin
            .to_str()
            .is_ok_and(|origin| is_same_origin(origin, host)),
        _ => false,
    }
}
