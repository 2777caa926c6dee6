//! Every route there is, each with the least rank that may take it. The one place where rights are
//! written down, for HTTP and for the socket alike; the rules of a day decide on its orders beyond.
//!
//! What it keeps true: a route cannot stand here without a rank, and there are no routes elsewhere.
//! Reading changes nothing; what changes something is a POST.

use super::access::Rank::{self, Guest, Helper, Lead, Watcher};
use super::access::{entrance, gate, invite, list, me};
use super::problem::Problem;
use super::{
    assets, carry, commands, copies, foods, health, kitchens, learned, live, next_day, openapi,
    outlook, prepare, queries, review, shelf,
};
use actix_web::http::{Method, StatusCode, header};
use actix_web::middleware::{DefaultHeaders, from_fn};
use actix_web::{
    FromRequest, Handler, HttpRequest, HttpResponse, Resource, Responder, ResponseError, Route, web,
};

/// One method of a place: who may, and what answers.
struct Way {
    method: Method,
    least: Rank,
    route: Route,
}

/// A place below `/api`, with all that can be done there.
type Place = (&'static str, Vec<Way>);

fn read<F, Args>(least: Rank, handler: F) -> Way
where
    F: Handler<Args>,
    Args: FromRequest + 'static,
    F::Output: Responder + 'static,
{
    way(Method::GET, least, web::get().to(handler))
}

fn write<F, Args>(least: Rank, handler: F) -> Way
where
    F: Handler<Args>,
    Args: FromRequest + 'static,
    F::Output: Responder + 'static,
{
    way(Method::POST, least, web::post().to(handler))
}

fn way(method: Method, least: Rank, route: Route) -> Way {
    let route = route.wrap(from_fn(move |request, next| {
        gate::check_rank(least, request, next)
    }));
    Way {
        method,
        least,
        route,
    }
}

fn places() -> Vec<Place> {
    vec![
        ("/openapi.json", vec![read(Guest, openapi::openapi)]),
        ("/me", vec![read(Guest, me::me), write(Guest, me::post_me)]),
        ("/join", vec![read(Watcher, invite::join)]),
        ("/join.svg", vec![read(Watcher, invite::join_svg)]),
        ("/watch.svg", vec![read(Lead, invite::watch_svg)]),
        (
            "/doors",
            vec![
                read(Lead, entrance::doors),
                write(Lead, entrance::post_doors),
            ],
        ),
        (
            "/devices",
            vec![read(Lead, list::devices), write(Lead, list::make)],
        ),
        ("/devices/{device}/remove", vec![write(Lead, list::remove)]),
        (
            "/days",
            vec![
                read(Watcher, queries::days),
                write(Lead, commands::post_day),
            ],
        ),
        (
            "/days/{day}/commands",
            vec![write(Helper, commands::post_command)],
        ),
        (
            "/days/{day}/holders",
            vec![write(Helper, commands::post_holder)],
        ),
        ("/days/{day}/view", vec![read(Watcher, queries::view)]),
        ("/days/{day}/live", vec![read(Watcher, live::live)]),
        ("/days/{day}/events", vec![read(Watcher, queries::events)]),
        (
            "/days/{day}/plan-again",
            vec![read(Watcher, queries::again)],
        ),
        ("/days/{day}/outlook", vec![read(Watcher, outlook::outlook)]),
        (
            "/days/{day}/gather",
            vec![read(Watcher, next_day::gather_list)],
        ),
        (
            "/days/{day}/next-day.ics",
            vec![read(Watcher, next_day::next_day)],
        ),
        (
            "/days/{day}/look-back",
            vec![read(Watcher, review::look_back)],
        ),
        (
            "/days/{day}/look-back.csv",
            vec![read(Watcher, review::look_back_csv)],
        ),
        (
            "/days/{day}/look-back/finish",
            vec![read(Watcher, review::finish)],
        ),
        (
            "/days/{day}/look-back/beside",
            vec![read(Watcher, review::beside)],
        ),
        ("/days/{day}/lots", vec![read(Watcher, shelf::lots)]),
        (
            "/days/{day}/lots/{code}.svg",
            vec![read(Watcher, shelf::lot_svg)],
        ),
        ("/shelf", vec![read(Watcher, shelf::shelf)]),
        ("/shelf.csv", vec![read(Watcher, shelf::shelf_csv)]),
        ("/shelf/uses", vec![read(Watcher, shelf::uses)]),
        ("/shelf/commands", vec![write(Helper, shelf::post_command)]),
        (
            "/learned",
            vec![
                read(Watcher, learned::learned),
                write(Lead, learned::post_learned),
            ],
        ),
        ("/kitchens", vec![read(Watcher, kitchens::kitchens)]),
        ("/foods", vec![read(Watcher, foods::foods)]),
        ("/tested", vec![read(Watcher, foods::tested)]),
        ("/prepare", vec![write(Helper, prepare::prepare)]),
        (
            "/prepare/next-year",
            vec![write(Helper, prepare::next_year)],
        ),
        ("/export", vec![read(Lead, carry::export)]),
        ("/import", vec![write(Lead, carry::import)]),
        (
            "/copies",
            vec![read(Lead, copies::copies), write(Lead, copies::make)],
        ),
        ("/copies/{name}", vec![read(Lead, copies::copy)]),
    ]
}

/// How the board does, for whoever looks after it; `metrics` asks more of a guest from elsewhere than
/// from this computer.
fn well() -> Vec<Place> {
    vec![
        ("/health", vec![read(Guest, health::health)]),
        ("/metrics", vec![read(Guest, health::metrics)]),
    ]
}

/// The pages themselves: whoever is no guest any more needed them to become that.
fn pages() -> Place {
    ("/{file:.*}", vec![read(Guest, assets::asset)])
}

/// The table of rights: method, address and least rank of every route.
pub fn rights() -> Vec<(Method, String, Rank)> {
    let below_api = places().into_iter();
    let below_api = below_api.map(|(path, ways)| (format!("/api{path}"), ways));
    let others = well().into_iter().chain([pages()]);
    let all = below_api.chain(others.map(|(path, ways)| (path.to_owned(), ways)));
    let lines = all.flat_map(|(path, ways)| {
        let line = move |way: Way| (way.method, path.clone(), way.least);
        ways.into_iter().map(line)
    });
    lines.collect()
}

/// Puts all of them in their places.
pub fn routes(app: &mut web::ServiceConfig) {
    let fresh = DefaultHeaders::new().add((header::CACHE_CONTROL, "no-store"));
    let api = web::scope("/api").wrap(fresh);
    let api = places()
        .into_iter()
        .fold(api, |api, place| api.service(at(place)));
    app.service(api.default_service(web::to(no_such_address)));
    for place in well().into_iter().chain([pages()]) {
        app.service(at(place));
    }
}

fn at((path, ways): Place) -> Resource {
    let allowed = ways.iter().map(|way| way.method.as_str());
    let allowed = allowed.collect::<Vec<_>>().join(", ");
    let refuse = move |request| wrong_method(request, allowed.clone());
    let resource = web::resource(path).default_service(web::to(refuse));
    ways.into_iter()
        .fold(resource, |resource, way| resource.route(way.route))
}

async fn no_such_address(request: HttpRequest) -> HttpResponse {
    Problem::not_found(format!("There is nothing at {:?}.", request.path())).error_response()
}

/// Says what may be done there too (RFC 9110, section 15.5.6).
async fn wrong_method(request: HttpRequest, allowed: String) -> HttpResponse {
    let (method, path) = (request.method(), request.path());
    let mut refused = Problem::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "wrong-method",
        format!("{method} does nothing at {path:?}."),
        "Read with GET; order with POST to /api/days/{day}/commands.",
    )
    .error_response();
    if let Ok(allowed) = header::HeaderValue::from_str(&allowed) {
        refused.headers_mut().insert(header::ALLOW, allowed);
    }
    refused
}
