//! The API as its own document describes it: whether that is sound, whether it says what is true of
//! every route, and what comes back when each route is asked with what does not fit. The long form
//! of the last is `tests/hunt/schemathesis/run`.

use crate::shelf;
use crate::support::*;
use actix_web::http::Method;
use jsonschema::Validator;
use putby::day::ids::StationId;
use putby::trace::{BatchCode, LotCode};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::io::Write;
use std::net::TcpStream;
use uuid::Uuid;

const WIRE: &str = include_str!("../../fixtures/wire/commands.ndjson");
const FAMILY: &str = include_str!("../../fixtures/prepare/family.json");

/// As a guest gets it.
async fn document(app: &TestApp) -> Value {
    let told = answer(client().get(app.url("/api/openapi.json")).send()).await;
    assert_eq!((told.status, told.kind.as_str()), (200, "application/json"));
    told.body
}

/// Every object within a value.
fn objects<'a>(value: &'a Value, found: &mut Vec<&'a serde_json::Map<String, Value>>) {
    match value {
        Value::Object(it) => {
            found.push(it);
            it.values().for_each(|part| objects(part, found));
        }
        Value::Array(all) => all.iter().for_each(|part| objects(part, found)),
        _ => {}
    }
}

/// A path of the table as the document has it.
fn plain(path: &str) -> String {
    path.replace("{file:.*}", "{file}")
}

/// What the document says of a route.
fn described<'a>(document: &'a Value, method: &Method, path: &str) -> &'a Value {
    &document["paths"][plain(path)][method.as_str().to_lowercase()]
}

/// Checks values against a schema of the document.
fn reader(document: &Value, name: &str) -> Validator {
    let schema = json!({
        "$ref": format!("#/components/schemas/{name}"),
        "components": document["components"],
    });
    jsonschema::draft202012::new(&schema).unwrap()
}

#[actix_web::test]
async fn the_document_is_sound() {
    let app = TestApp::with_day().await;
    let document = document(&app).await;
    assert!(document["openapi"].as_str().unwrap().starts_with("3.1."));
    let info = &document["info"];
    assert!(info["title"].is_string() && info["version"].is_string());
    let mut all = Vec::new();
    objects(&document, &mut all);
    for it in &all {
        if let Some(Value::String(to)) = it.get("$ref") {
            let to = to.strip_prefix('#').expect("within the document");
            assert!(document.pointer(to).is_some(), "{to} leads nowhere");
        }
        if let Some(Value::String(text)) = it.get("description") {
            assert!(!text.contains("[`"), "a link of the source: {text}");
        }
    }
    let mut ids = BTreeSet::new();
    for (path, place) in document["paths"].as_object().unwrap() {
        for (method, operation) in place.as_object().unwrap() {
            let id = operation["operationId"].as_str().unwrap();
            assert!(ids.insert(id.to_owned()), "{id} is there twice");
            let answers = operation["responses"].as_object().unwrap();
            assert!(answers.keys().any(|status| status < &"400".to_owned()));
            let declared: Vec<&str> = operation["parameters"]
                .as_array()
                .into_iter()
                .flatten()
                .filter(|parameter| parameter["in"] == "path")
                .map(|parameter| parameter["name"].as_str().unwrap())
                .collect();
            let written: Vec<&str> = path
                .split('{')
                .skip(1)
                .map(|part| part.split('}').next().unwrap())
                .collect();
            assert_eq!(declared, written, "{method} {path}");
        }
    }
    for (name, schema) in document["components"]["schemas"].as_object().unwrap() {
        jsonschema::draft202012::meta::validate(schema)
            .unwrap_or_else(|wrong| panic!("{name}: {wrong}"));
    }
}

#[actix_web::test]
async fn every_route_is_described_with_its_rank_and_nothing_of_this_board_is() {
    let app = TestApp::with_day().await;
    let document = document(&app).await;
    let mut count = 0;
    for (method, path, least) in putby::server::rights() {
        let route = described(&document, &method, &path);
        assert!(route.is_object(), "{method} {path} is not described");
        let rank = json!([format!("{least:?}").to_lowercase()]);
        let ways = route["security"].as_array().unwrap();
        let named: Vec<&Value> = ways
            .iter()
            .flat_map(|way| way.as_object().unwrap().values())
            .collect();
        assert_eq!(named, [&rank, &rank], "{method} {path}");
        let for_all = ways.contains(&json!({}));
        assert_eq!(for_all, rank[0] == "guest", "{method} {path}");
        assert_eq!(route["requestBody"].is_object(), method == Method::POST);
        count += 1;
    }
    let places = document["paths"].as_object().unwrap().values();
    let told: usize = places.map(|place| place.as_object().unwrap().len()).sum();
    assert_eq!(told, count);
    let other = TestApp::start().await;
    assert_eq!(
        self::document(&other).await,
        document,
        "the same on every board"
    );
}

#[actix_web::test]
async fn what_must_be_read_for_ever_fits_its_schema() {
    let app = TestApp::start().await;
    let document = document(&app).await;
    let order = reader(&document, "CommandRequest");
    for line in WIRE.lines() {
        let command: Value = serde_json::from_str(line).unwrap();
        let whole = json!({"id": Uuid::nil(), "command": command});
        let wrong: Vec<_> = order.iter_errors(&whole).map(|e| e.to_string()).collect();
        assert!(wrong.is_empty(), "{line}: {wrong:#?}");
        let mut more = whole;
        more["command"]["not-in-it"] = json!(1);
        assert!(!order.is_valid(&more), "{line}: takes anything");
    }
    let read = |text: &str| serde_json::from_str::<Value>(text).unwrap();
    for (name, value) in [
        ("DayPlan", small_plan()),
        (
            "DayPlan",
            read(include_str!("../../fixtures/demo/day.json")),
        ),
        ("Ask", read(FAMILY)),
        ("Season", season()),
    ] {
        let wrong: Vec<_> = reader(&document, name)
            .iter_errors(&value)
            .map(|error| error.to_string())
            .collect();
        assert!(wrong.is_empty(), "{name}: {wrong:#?}");
    }
}

#[actix_web::test]
async fn what_is_told_has_the_form_it_is_said_to_have() {
    let app = shelf::with_bags().await;
    let document = document(&app).await;
    let recall = json!({"order": "recall", "batch": {"day": "small", "batch": "260912-F"},
        "reason": "The door stood open"});
    shelf::give(&app, Uuid::new_v4(), &shelf::take(1000)).await;
    for (path, body) in [
        (
            "/api/shelf/commands",
            json!({"id": Uuid::new_v4(), "command": recall}),
        ),
        ("/api/copies", json!({})),
    ] {
        assert_eq!(app.post_as_lead(path, &body).await.status, 200);
    }
    let mut without = Vec::new();
    let mut checked = 0;
    for (method, path, _) in putby::server::rights() {
        let route = described(&document, &method, &path);
        let schema = &route["responses"]["200"]["content"]["application/json"]["schema"];
        if method != Method::GET || !schema.is_object() {
            continue;
        }
        let asked = path.replace("{day}", "small").replace(
            "/tested",
            "/tested?product=pears&pack=hot&jar=quart&altitude_ft=640",
        );
        let told = app.get_as_lead(&asked).await;
        if told.status != 200 {
            without.push(path);
            continue;
        }
        let mut whole = schema.clone();
        whole["components"] = document["components"].clone();
        let form = jsonschema::draft202012::new(&whole).unwrap();
        let wrong: Vec<_> = form
            .iter_errors(&told.body)
            .map(|e| e.to_string())
            .collect();
        assert!(wrong.is_empty(), "{path}: {wrong:#?}");
        checked += 1;
    }
    // Servers of tests do not look ahead.
    assert_eq!(without, ["/api/days/{day}/outlook"]);
    assert!(checked > 20, "{checked}");
}

#[actix_web::test]
async fn checked_words_are_what_their_patterns_say() {
    let app = TestApp::start().await;
    let document = document(&app).await;
    let fits = |name: &str, text: &str| reader(&document, name).is_valid(&json!(text));
    let forty = "a".repeat(40);
    let long = "a".repeat(41);
    for text in [
        "slice", "7-quart", "-x", "Slice", "a b", "", "é", "a\n", "x-", &forty, &long,
    ] {
        let read = StationId::try_from(text).is_ok();
        assert_eq!(fits("StationId", text), read, "{text:?}");
    }
    for text in [
        "260912-K2",
        "260912-k2",
        "260912-K",
        "260912-K0",
        "260912-K12345",
        "260912-A2",
        "26091-K2",
        "260912-KKKKK2",
        "260912-KF9999",
        "260912-K2 ",
        "",
        "２60912-K2",
    ] {
        let read = LotCode::try_from(text.to_owned()).is_ok();
        assert_eq!(fits("LotCode", text), read, "{text:?}");
        let read = BatchCode::try_from(text.to_owned()).is_ok();
        assert_eq!(fits("BatchCode", text), read, "{text:?}");
    }
}

/// What the shelf says of a season.
fn season() -> Value {
    let package =
        json!({"measure": "jar", "jar": "quart", "holds": {"amount": 1000, "measure": "qt"}});
    json!({"weeks": 52_000, "products": {"pears": {
        "name": "Pear halves", "package": package, "left": 3000, "taken": 11,
        "first_at": MORNING, "last_at": MORNING.0 + 9_000_000_000_i64, "half_left": 6,
        "too_runny": 0, "not_liked": 1, "just_right": 4}}})
}

/// A body that each route takes, to be spoilt piece by piece.
fn bodies(path: &str) -> Vec<Value> {
    let id = Uuid::new_v4();
    let one = match path {
        "/api/me" => json!({"role": "helper"}),
        "/api/doors" => json!({"wall-shows-code": true}),
        "/api/devices" => json!({"name": "scales", "role": "helper"}),
        "/api/devices/{device}/remove" => json!({"last_too": false}),
        "/api/days" => json!({"id": id, "day": "small", "plan": small_plan()}),
        "/api/days/{day}/holders" => json!({"helper": "maren"}),
        "/api/shelf/commands" => json!({"id": id, "command": {
            "order": "take", "lot": {"day": "small", "code": "260912-K2"}, "place": "pantry",
            "packages": 1000}}),
        "/api/learned" => json!({"id": id, "correction": {
            "do": "set", "lesson": {"of": "speed", "helper": "maren", "station": "wash"},
            "value": 1.5, "counts": 2.0}}),
        "/api/prepare/next-year" => season(),
        "/api/import" => json!({"putby": "board", "version": 1, "made_at": 0, "days": [],
            "shelf": [], "shelf_commands": [], "learned": [], "end": {"days": 0, "events": 0}}),
        "/api/copies" | "/api/prepare" => json!({}),
        "/api/days/{day}/commands" => {
            // The kitchen is opened at /api/days.
            let orders = WIRE.lines().filter(|line| !line.contains("\"open-day\""));
            let order =
                |line| json!({"id": id, "command": serde_json::from_str::<Value>(line).unwrap()});
            return orders.map(order).collect();
        }
        other => panic!("say in tests/suite/openapi.rs what {other} takes"),
    };
    vec![one]
}

/// Where each piece of a value is.
fn pieces(value: &Value, at: String, found: &mut Vec<String>) {
    let parts: Vec<(String, &Value)> = match value {
        Value::Object(it) => it
            .iter()
            .map(|(name, part)| (name.replace('/', "~1"), part))
            .collect(),
        Value::Array(all) => all
            .iter()
            .enumerate()
            .map(|(n, part)| (n.to_string(), part))
            .collect(),
        _ => Vec::new(),
    };
    for (name, part) in parts {
        let at = format!("{at}/{name}");
        pieces(part, at.clone(), found);
        found.push(at);
    }
}

/// A body with one piece taken out, and with others in its place, one of them chosen by `turn`.
fn spoilt(body: &Value, at: &str, turn: usize) -> Vec<Value> {
    let odd = [
        json!(null),
        json!(-1),
        json!(9_007_199_254_740_993_i64),
        json!(u64::MAX),
        json!(1e300),
        json!(0.5),
        json!(""),
        json!("\u{0}\u{202e}é"),
        json!("x".repeat(5000)),
        json!([]),
        json!({}),
        json!(true),
        json!([[[{}]]]),
    ];
    let (parent, name) = at.rsplit_once('/').unwrap();
    let mut without = body.clone();
    match without.pointer_mut(parent).unwrap() {
        Value::Object(it) => drop(it.remove(&name.replace("~1", "/"))),
        Value::Array(all) => drop(all.remove(name.parse().unwrap())),
        _ => unreachable!("a piece is within something"),
    }
    let mut made = vec![without];
    for step in [0, 5] {
        let mut other = body.clone();
        *other.pointer_mut(at).unwrap() = odd[(turn + step) % odd.len()].clone();
        made.push(other);
    }
    made
}

/// What is wrong with an answer: a failure of the server, a refusal without words, or something that
/// the document does not say of this route.
fn faults_of(told: &Answer, route: &Value, document: &Value) -> Option<String> {
    // The client of this test takes what follows the offer of an upgrade for a socket, and reads no
    // body; it is looked at below.
    let is_clear = told.status == 426 || told.is_clear_problem();
    if told.status >= 500 || told.status >= 400 && !is_clear {
        return Some(format!("{told:?}"));
    }
    let said = &route["responses"][told.status.to_string()];
    let said = match said["$ref"].as_str() {
        Some(to) => document.pointer(&to[1..]).unwrap(),
        None => said,
    };
    if said.is_null() {
        return Some(format!("{} is not described", told.status));
    }
    let kinds = said["content"].as_object();
    let known =
        kinds.is_none_or(|kinds| kinds.contains_key(&told.kind) || kinds.contains_key("*/*"));
    (!known).then(|| format!("{:?} is not described", told.kind))
}

#[actix_web::test]
async fn whatever_a_route_is_sent_is_answered_as_described() {
    let app = TestApp::with_day().await;
    let document = document(&app).await;
    let texts = [
        "",
        "{",
        "nothing",
        "[]",
        "0",
        "\"\"",
        "{\"a\":1,\"a\":2}",
        "\u{feff}{}",
        "{\"id\":null}",
    ];
    let mut wrong = Vec::new();
    let mut asked = 0;
    for (method, path, _) in putby::server::rights() {
        if method != Method::POST {
            continue;
        }
        let route = described(&document, &method, &path);
        let at = path
            .replace("{day}", "small")
            .replace("{device}", "0011223344556677");
        let mut sent: Vec<Vec<u8>> = texts.iter().map(|text| text.as_bytes().to_vec()).collect();
        sent.push(vec![0xff, 0xfe, 0x00]);
        sent.push([vec![b'['; 50_000], vec![b']'; 50_000]].concat());
        for body in bodies(&path) {
            let mut all = Vec::new();
            pieces(&body, String::new(), &mut all);
            for (turn, piece) in all.iter().enumerate() {
                sent.extend(
                    spoilt(&body, piece, turn + asked)
                        .iter()
                        .map(|it| it.to_string().into()),
                );
            }
        }
        for body in sent {
            let request = client().post(app.url(&at)).bearer_auth(&app.lead_key);
            let request = request.content_type("application/json");
            let told = answer(request.send_body(body.clone())).await;
            asked += 1;
            if let Some(fault) = faults_of(&told, route, &document) {
                let body = String::from_utf8_lossy(&body[..body.len().min(300)]).into_owned();
                wrong.push(format!("{method} {path} {body}: {fault}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {asked}: {wrong:#?}", wrong.len());
    assert!(asked > 1000, "{asked} is not much");
    assert_eq!(app.get("/api/days/small/view").await.status, 200);
}

#[actix_web::test]
async fn a_plan_that_is_refused_again_and_again_is_never_told_that_its_day_has_stopped() {
    let app = TestApp::start().await;
    let open = async |date: &str| {
        let plan = json!({"name": "Pears", "date": date});
        let body = json!({"id": Uuid::new_v4(), "day": "pears", "plan": plan});
        app.post_as_lead("/api/days", &body).await
    };
    for _ in 0..200 {
        assert_eq!(open("some day").await.verdict(), (409, "bad-value"));
    }
    assert_eq!(open("2026-09-12").await.status, 201);
}

#[actix_web::test]
async fn however_a_route_is_spelt_it_answers_as_described() {
    let app = TestApp::with_day().await;
    let document = document(&app).await;
    let long = "a".repeat(4000);
    let parts = [
        "nowhere",
        "No%20Day",
        "%00",
        "%ff",
        "%FF%FE",
        "%zz",
        "%",
        "..",
        "%2e%2e",
        "%2f",
        "-",
        "'",
        "%3Cb%3E",
        "260912-K2",
        "\u{e9}",
        &long,
    ];
    let queries = [
        "from=-1",
        "from=x",
        "from=1e3",
        "from=18446744073709551616",
        "from=",
        "from=1&from=2",
        "day=%00",
        "day=No",
        "day=",
        "day=%ff",
        "%ff=%ff",
        "&&==",
        "product=pears",
        "altitude_ft=1e9",
        "product=pears&pack=hot&jar=quart&altitude_ft=-99999999999",
        "product=%00&pack=hot&jar=quart&altitude_ft=640",
        "product=pears&pack=hot&jar=quart&altitude_ft=640&more=1",
    ];
    let mut wrong = Vec::new();
    for (method, path, _) in putby::server::rights() {
        let route = described(&document, &method, &path);
        let known = path
            .replace("{day}", "small")
            .replace("{device}", "0011223344556677")
            .replace("{name}", "none")
            .replace("{code}", "260912-K2")
            .replace("{file:.*}", "ui.js");
        let mut all: Vec<String> = Vec::new();
        if path.contains('{') {
            for part in parts {
                let whole = path.replace("{file:.*}", part);
                for name in ["{day}", "{device}", "{name}", "{code}"] {
                    if whole.contains(name) {
                        let odd = whole.replace(name, part);
                        all.push(odd.replace("{day}", "small").replace("{code}", "260912-K2"));
                    }
                }
                if whole != path {
                    all.push(whole);
                }
            }
        }
        if method == Method::GET && !path.ends_with("/finish") {
            all.extend(queries.iter().map(|query| format!("{known}?{query}")));
        }
        for at in all {
            let Ok(request) = at.parse::<actix_web::http::Uri>() else {
                continue;
            };
            let request = client().request(method.clone(), format!("{}{request}", app.address));
            let request = request.bearer_auth(&app.lead_key);
            let told = match method == Method::POST {
                true => answer(request.send_json(&json!({}))).await,
                false => answer(request.send()).await,
            };
            if let Some(fault) = faults_of(&told, route, &document) {
                wrong.push(format!("{method} {:.200}: {fault}", at));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[actix_web::test]
async fn what_a_place_does_not_do_is_refused_with_what_it_does() {
    let app = TestApp::start().await;
    for (path, allowed) in [
        ("/api/me", "GET, POST"),
        ("/api/export", "GET"),
        ("/api/import", "POST"),
    ] {
        for method in [Method::PUT, Method::DELETE, Method::PATCH, Method::TRACE] {
            let request = client()
                .request(method, app.url(path))
                .bearer_auth(&app.lead_key);
            let response = request.send().await.unwrap();
            assert_eq!(response.status(), 405);
            let said = response
                .headers()
                .get("allow")
                .map(|said| said.to_str().unwrap());
            assert_eq!(said, Some(allowed), "{path}");
        }
    }
}

#[actix_web::test]
async fn a_socket_asked_for_as_a_page_is_told_to_upgrade_and_the_connection_goes_on() {
    let app = TestApp::with_day().await;
    let helper = app.helper.clone();
    let told = actix_web::web::block(move || {
        let (host, key) = helper.raw();
        let mut socket = TcpStream::connect(host).unwrap();
        socket.set_read_timeout(Some(LIMIT)).unwrap();
        let ask = |path| format!("GET {path} HTTP/1.1\r\nhost: {host}\r\n{key}\r\n\r\n");
        [ask("/api/days/small/live"), ask("/api/days")].map(|request| {
            socket.write_all(request.as_bytes()).unwrap();
            read_response(&mut socket).expect("the connection goes on")
        })
    });
    let [(refused, body), (days, _)] = told.await.unwrap();
    assert!(refused.starts_with("http/1.1 426") && refused.contains("\r\nupgrade: websocket"));
    assert_eq!(
        serde_json::from_str::<Value>(&body).unwrap()["code"],
        "no-upgrade"
    );
    assert!(days.starts_with("http/1.1 200"), "{days}");
}
