//! Files that are refused, and the sentence each gets: it names the place and says what to do.

use putby::sim::format::{self, Asked};
use serde_json::{Value, json};

/// A small kitchen that makes sense.
fn kitchen() -> Value {
    json!({
        "format": "putby-network/1",
        "stations": [
            {"name": "slice", "works": {"hands": 1}},
            {"name": "canner", "works": {"batches": {"least": 2, "most": 7}}},
        ],
        "steps": [
            {"at": "slice", "of": "pears", "time": 2, "then": "canner"},
            {"at": "slice", "of": "plums", "time": 1, "then": "canner"},
            {"at": "canner", "of": "pears", "time": 25},
            {"at": "canner", "of": "plums", "time": 20},
        ],
        "helpers": [{"name": "Osk", "seat": "slice", "does": [{"step": "slice"}]}],
        "start": {"waiting": [{"at": "pears at slice", "amount": 9}]},
    })
}

/// What is said to the kitchen with something put in at a JSON pointer.
fn said(at: &str, value: Value) -> String {
    let mut kitchen = kitchen();
    let (parent, key) = at.rsplit_once('/').unwrap();
    let place = kitchen.pointer_mut(parent).unwrap();
    match key.parse::<usize>() {
        Ok(number) => place[number] = value,
        Err(_) => place[key] = value,
    }
    match format::read(&kitchen.to_string()) {
        Err(misread) => misread.to_string(),
        Ok(_) => panic!("{at} was accepted"),
    }
}

#[test]
fn the_kitchen_itself_makes_sense() {
    let Asked::Network(task) = format::read(&kitchen().to_string()).unwrap() else {
        panic!("no network");
    };
    assert_eq!(task.steps[1], "plums at slice");
    assert_eq!(task.start.seats, [Some(0)]);
    assert_eq!(task.start.waiting[0], [(9.0, 0.0)]);
}

#[test]
fn every_refusal_names_the_place_and_says_what_to_do() {
    let cases = [
        (
            "/format",
            json!("other/2"),
            ["\"other/2\" is not known", "putby-network/1"],
        ),
        ("/ovens", json!(1), ["unknown field `ovens`", "README"]),
        ("/steps/0/tme", json!(2), ["unknown field `tme`", "README"]),
        (
            "/steps/0/time",
            json!({"weibull": 2}),
            ["unknown variant `weibull`", "exponential"],
        ),
        (
            "/steps/0/time",
            json!(true),
            ["a number of minutes", "README"],
        ),
        (
            "/steps/0/time",
            json!({"exponential": 0}),
            ["The step at slice: the time is 0", "above 0"],
        ),
        (
            "/steps/0/time",
            json!({"sequence": []}),
            ["empty list", "at least one"],
        ),
        (
            "/steps/0/then",
            json!("oven"),
            ["\"oven\", which is not there", "Known are: slice, canner"],
        ),
        (
            "/steps/0/at",
            json!("oven"),
            ["\"oven\", which is not there", "Known are"],
        ),
        (
            "/steps/1/of",
            json!("pears"),
            ["twice for the same class", "second station"],
        ),
        (
            "/steps/0/then",
            json!({"chances": [{"chance": 0.5, "to": "out"}]}),
            ["add up to 0.5", "add up to 1"],
        ),
        (
            "/steps/0/most",
            json!(3),
            ["no batches are made there", "Leave out"],
        ),
        (
            "/stations/0/name",
            json!("out"),
            ["\"out\" is no name", "word or two"],
        ),
        (
            "/stations/0/name",
            json!("canner"),
            ["two of the station \"canner\"", "own name"],
        ),
        (
            "/stations/0/works",
            json!({"servers": 0}),
            ["has no servers", "at least 1"],
        ),
        (
            "/stations/0/works",
            json!({"servers": 1}),
            ["slice, which needs nobody", "hands"],
        ),
        (
            "/stations/1/works/batches/least",
            json!(8),
            ["the least 8 of 7", "from 0 to the most"],
        ),
        (
            "/stations/1/works/batches/first",
            json!([{"amount": 2}]),
            [
                "there are several steps",
                "pears at canner or plums at canner",
            ],
        ),
        (
            "/stations/0/takes",
            json!([{"what": "burner", "count": 1}]),
            ["\"burner\"", "Add the shared thing"],
        ),
        (
            "/helpers/0/seat",
            json!("canner"),
            ["canner, which needs nobody", "hands"],
        ),
        (
            "/helpers/0/does",
            json!([{"step": "pears at slice"}]),
            ["Nobody may work at plums at slice", "Name it"],
        ),
        (
            "/helpers/0/does/0/rate",
            json!(-1),
            ["Osk at slice is -1", "above 0"],
        ),
        (
            "/helpers/0/does/0/rate",
            json!({"learned": {"prior": [2, 6], "keep": 0}}),
            ["keeps 0", "above 0 and up to 1"],
        ),
        (
            "/helpers/0/turns",
            json!(["slice"]),
            ["several steps", "pears at slice or plums at slice"],
        ),
        (
            "/helpers/0/away",
            json!([[20, 10]]),
            ["away from 20 to 10", "in order"],
        ),
        (
            "/start/waiting/0/at",
            json!("slice"),
            ["several steps", "Say which"],
        ),
        (
            "/start/busy",
            json!([{"at": "pears at slice"}]),
            ["does not fit", "Name the helper"],
        ),
        (
            "/arrivals",
            json!([{"at": "pears at slice"}]),
            ["does not come in one way", "every"],
        ),
        (
            "/arrivals",
            json!([{"at": "pears at slice", "every": 5}]),
            ["without an end", "minutes"],
        ),
        (
            "/arrivals",
            json!([{"at": "pears at slice", "times": [5, 4]}]),
            ["4 after 5", "in order"],
        ),
        (
            "/run",
            json!({"minutes": 10, "warm_up_min": 10}),
            ["leaves nothing of 10", "shorter"],
        ),
        (
            "/brigade",
            json!({"helpers": [], "items": 1}),
            ["no stations", "Leave out"],
        ),
    ];
    for (at, value, words) in cases {
        let said = said(at, value);
        for word in words {
            assert!(said.contains(word), "{at}: no \"{word}\" in: {said}");
        }
        assert!(said.ends_with('.') && !said.contains('\n'), "{at}: {said}");
    }
}

#[test]
fn what_is_not_json_says_where() {
    let said = format::read("{\"format\": ").unwrap_err().to_string();
    assert!(
        said.contains("This is not JSON") && said.contains("line 1"),
        "{said}"
    );
    let said = format::read("[]").unwrap_err().to_string();
    assert!(said.contains("Begin it with \"format\""), "{said}");
}
