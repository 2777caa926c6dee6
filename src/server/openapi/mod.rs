//! `GET /api/openapi.json`: the HTTP API as an OpenAPI document (version 3.1.1), for scripts and for
//! the testers of `tests/hunt/schemathesis`.
//!
//! Put together of the table of rights (which routes there are, and for whom), of `operations` (what
//! each is for) and of the types that are read and told. What it keeps true: a route that is not
//! described fails a test here, and so does a description of no route. It is the same on every
//! board: nothing of a day, a device or a key is in it.

mod operation;
mod operations;
mod schemas;

use super::access::Rank;
use super::routes::rights;
use actix_web::HttpResponse;
use actix_web::http::Method;
use bytes::Bytes;
use operation::{Operation, Tells};
use operations::operations;
use schemas::{Schemas, reference};
use serde_json::{Map, Value, json};
use std::sync::LazyLock;

/// The document, made when it is first asked for.
static DOCUMENT: LazyLock<Bytes> = LazyLock::new(|| Bytes::from(document().to_string()));

/// What a reader must know before the first request.
const ABOUT: &str = "\
A board for one preserving day. Amounts are whole thousandths of the measure beside them, moments \
milliseconds since 1970. An order carries an id (a UUID) that its sender makes: sent again under the \
same id it is answered again and done once. What is answered with success is on the disk. Whatever is \
refused is answered by a problem (RFC 9457), whose `code` is for programs, `detail` says what is \
wrong and `instead` what to do.

Browsers are known by a cookie, which `POST /api/me` gives for the code, the walls' link or the lead's \
key; with it every POST must carry the `Origin` of this server. Scripts send a key as a bearer token: \
the lead's, or one that the lead made with `POST /api/devices`. The name beside a scheme is the least \
rank that may: guest, watcher, helper or lead, each of whom may what those before may.";

/// `GET /api/openapi.json`: this API, described.
pub async fn openapi() -> HttpResponse {
    HttpResponse::Ok()
        .content_type("application/json")
        .body(DOCUMENT.clone())
}

fn document() -> Value {
    let mut schemas = Schemas::default();
    let problem = problem(&mut schemas);
    let described = operations();
    let mut paths = Map::new();
    for (method, path, least) in rights() {
        let Some(operation) = described.iter().find(|one| one.is_at(&method, &path)) else {
            continue;
        };
        let place = paths.entry(plain(&path)).or_insert_with(|| json!({}));
        let key = method.as_str().to_lowercase();
        place[key] = described_as(operation, &path, least, &mut schemas);
    }
    json!({
        "openapi": "3.1.1",
        "info": {
            "title": "Putby",
            "version": env!("CARGO_PKG_VERSION"),
            "description": ABOUT,
            "license": {"name": "MIT or Apache-2.0", "identifier": "MIT OR Apache-2.0"},
        },
        "servers": [{"url": "/"}],
        "paths": paths,
        "components": {
            "securitySchemes": {
                "cookie": {"type": "apiKey", "in": "cookie", "name": "putby-device",
                           "description": "Of a browser that was let in."},
                "bearer": {"type": "http", "scheme": "bearer",
                           "description": "The lead's key, or a key of a script."},
            },
            "responses": refusals(&problem),
            "schemas": schemas.all(),
        },
    })
}

/// A path of the table as OpenAPI writes it: without the patterns of its parts.
fn plain(path: &str) -> String {
    let mut parts = path.split('{');
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |made, part| {
        let (name, rest) = part.split_once('}').unwrap_or((part, ""));
        let name = name.split(':').next().unwrap_or(name);
        format!("{made}{{{name}}}{rest}")
    })
}

/// The names of the parts of a path.
fn parts(path: &str) -> Vec<String> {
    let path = plain(path);
    let parts = path.split('{').skip(1);
    let name = |part: &str| part.split('}').next().map(str::to_owned);
    parts.filter_map(name).collect()
}

fn described_as(operation: &Operation, path: &str, least: Rank, schemas: &mut Schemas) -> Value {
    let parts = parts(path);
    let of_path = parts.iter().map(|part| {
        let (about, schema) = schemas.of_part(part);
        json!({"name": part, "in": "path", "required": true, "description": about, "schema": schema})
    });
    let mut parameters: Vec<Value> = of_path.collect();
    if let Some(query) = operation.query {
        parameters.extend(schemas.of_query(query));
    }
    let mut whole = json!({
        "operationId": operation.id,
        "summary": operation.summary,
        "description": format!("{}{}", who(least), operation.more),
        "security": security(least),
        "responses": answers(operation, !parts.is_empty(), least, schemas),
    });
    if !parameters.is_empty() {
        whole["parameters"] = parameters.into();
    }
    if let Some(body) = operation.body {
        let schema = schemas.asked(body);
        whole["requestBody"] =
            json!({"required": true, "content": {"application/json": {"schema": schema}}});
    }
    whole
}

fn who(least: Rank) -> &'static str {
    match least {
        Rank::Guest => "For every device.",
        Rank::Watcher => "For every device that was let in.",
        Rank::Helper => "For helpers and the lead.",
        Rank::Lead => "For the lead.",
    }
}

fn security(least: Rank) -> Value {
    let rank = json!([least]);
    match least {
        Rank::Guest => json!([{}, {"cookie": rank}, {"bearer": rank}]),
        _ => json!([{"cookie": rank}, {"bearer": rank}]),
    }
}

fn answers(operation: &Operation, has_parts: bool, least: Rank, schemas: &mut Schemas) -> Value {
    let mut answers = Map::new();
    for tells in &operation.tells {
        let (status, about, content) = match tells {
            Tells::Json(status, about, schema) => {
                let schema = schemas.told(*schema);
                (
                    status,
                    about,
                    json!({"application/json": {"schema": schema}}),
                )
            }
            Tells::Other(status, about, kind) => (
                status,
                about,
                json!({*kind: {"schema": {"type": "string"}}}),
            ),
            Tells::Nothing(status, about) => (status, about, Value::Null),
        };
        let mut answer = json!({"description": about});
        if !content.is_null() {
            answer["content"] = content;
        }
        answers.insert(status.to_string(), answer);
    }
    let acts = operation.method == Method::POST;
    let general: &[(bool, &[u16])] = &[
        (true, &[400, 403, 421, 429, 500, 503]),
        (least > Rank::Guest, &[401]),
        (has_parts, &[404]),
        (acts, &[408, 413, 415, 507]),
        (true, operation.refuses),
    ];
    for (applies, statuses) in general {
        for status in statuses.iter().filter(|_| *applies) {
            let status = status.to_string();
            let general = reference("responses", &status);
            answers.entry(status).or_insert(general);
        }
    }
    answers.into()
}

/// The schema of a problem, and of one that names every field to mend.
fn problem(schemas: &mut Schemas) -> [Value; 2] {
    let one = schemas.told(schemas::of::<super::problem::Details>);
    let fault = schemas.told(schemas::of::<crate::prepare::Fault>);
    let faults = json!({"type": "object", "required": ["faults"],
                        "properties": {"faults": {"type": "array", "items": fault}}});
    [one.clone(), json!({"allOf": [one, faults]})]
}

/// Each status by which something is refused, and what it says.
fn refusals([problem, with_faults]: &[Value; 2]) -> Value {
    let wait = json!({"Retry-After": {"required": true, "schema": {"type": "integer", "minimum": 1},
                      "description": "After how many seconds to try again."}});
    let ask = json!({"WWW-Authenticate": {"required": true, "schema": {"type": "string"}}});
    let none = json!({});
    let all = [
        (400, "It cannot be understood.", &none),
        (401, "This device was not let in.", &ask),
        (
            403,
            "This device may not do this, or its key is wrong, or the page is another's.",
            &none,
        ),
        (404, "There is nothing by this name.", &none),
        (408, "The body did not come in time.", &none),
        (
            409,
            "The rules refuse it as things stand, or the id stands for something else.",
            &none,
        ),
        (413, "It is too long.", &none),
        (415, "It does not say that it is JSON.", &none),
        (421, "The server is not known by this name.", &none),
        (
            422,
            "Something in it must be mended; `faults` names every field.",
            &none,
        ),
        (426, "It must be asked as an upgrade to a WebSocket.", &none),
        (
            429,
            "Too much was asked, or too many wrong keys were tried.",
            &wait,
        ),
        (
            500,
            "The server itself failed, or its journal is damaged.",
            &none,
        ),
        (
            503,
            "Not now: too busy, or the disk failed. Nothing was done that can be lost.",
            &wait,
        ),
        (507, "The disk is full; nothing was done.", &wait),
    ];
    let of = |(status, about, headers): (u16, &str, &Value)| {
        let schema = if status == 422 { with_faults } else { problem };
        let answer = json!({"description": about, "headers": headers,
                            "content": {"application/problem+json": {"schema": schema}}});
        (status.to_string(), answer)
    };
    Value::Object(all.into_iter().map(of).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_route_is_described_once_and_nothing_else_is() {
        let named = |method: &Method, path: &str| format!("{method} {path}");
        let mut routes: Vec<String> = rights().iter().map(|(m, p, _)| named(m, p)).collect();
        let mut described: Vec<String> = operations()
            .iter()
            .map(|one| named(&one.method, one.path))
            .collect();
        routes.sort();
        described.sort();
        let missing: Vec<_> = routes
            .iter()
            .filter(|one| !described.contains(one))
            .collect();
        assert!(
            missing.is_empty(),
            "describe in openapi/operations.rs: {missing:#?}"
        );
        assert_eq!(
            described, routes,
            "described twice, or there is no such route"
        );
    }

    #[test]
    fn patterns_of_a_path_are_left_out_and_its_parts_are_known() {
        assert_eq!(plain("/a/{day}/b/{file:.*}"), "/a/{day}/b/{file}");
        assert_eq!(parts("/days/{day}/lots/{code}.svg"), ["day", "code"]);
        assert_eq!(plain("/api/me"), "/api/me");
    }
}
