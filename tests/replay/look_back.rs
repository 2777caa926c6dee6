//! `putby lookback` on the written day, read back by another language's parsers.

use serde_json::Value;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

const WRITTEN: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/fixtures/days/orchard-day.ndjson"
);

fn putby(args: &[&str]) -> Output {
    let program = Command::new(env!("CARGO_BIN_EXE_putby"))
        .arg("lookback")
        .args(args)
        .env("TZ", "UTC")
        .output();
    program.unwrap()
}

fn said(args: &[&str]) -> String {
    let output = putby(args);
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// What a few lines of Python make of a text, as JSON.
fn python(lines: &str, text: &str) -> Value {
    use std::io::Write as _;
    let mut child = Command::new("python3")
        .args(["-c", lines])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 reads what the program wrote");
    let mut input = child.stdin.take().unwrap();
    input.write_all(text.as_bytes()).unwrap();
    drop(input);
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "{lines}");
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn the_words_tell_the_day() {
    let text = said(&[WRITTEN]);
    for part in [
        "Orchard day, 2026-09-12",
        "Put by",
        "Hour by hour",
        "Three things to try",
        "Stations",
        "Loads",
        "Fruit for a quart",
        "How the end was foretold",
        "The people",
        "Together: ",
    ] {
        assert!(text.contains(part), "{part} is not in\n{text}");
    }
    assert_eq!(
        text,
        said(&[WRITTEN]),
        "the same file gives the same answer"
    );
}

#[test]
fn the_table_reads_back_in_python_as_the_json_says() {
    let json: Value = serde_json::from_str(&said(&[WRITTEN, "--json"])).unwrap();
    let back = &json["look_back"];
    let rows = python(
        "import csv,json,sys; print(json.dumps(list(csv.DictReader(sys.stdin))))",
        &said(&[WRITTEN, "--csv"]),
    );
    let rows = rows.as_array().unwrap();
    let value = |kind: &str, id: &str, figure: &str| -> f64 {
        let is_it =
            |row: &&Value| row["kind"] == kind && row["id"] == id && row["figure"] == figure;
        let found: Vec<&Value> = rows.iter().filter(is_it).collect();
        assert_eq!(found.len(), 1, "{kind} {id} {figure}");
        found[0]["value"].as_str().unwrap().parse().unwrap()
    };
    let mut stations = 0;
    for (id, one) in back["stations"].as_object().unwrap() {
        let fields = [
            "busy",
            "starved",
            "blocked",
            "unstaffed",
            "paused",
            "put away",
        ];
        let parts = fields.map(|field| value("station", id, field));
        assert_eq!(
            parts.iter().sum::<f64>(),
            back["open_ms"].as_f64().unwrap(),
            "{id}"
        );
        assert_eq!(parts[2], one["blocked_ms"].as_f64().unwrap());
        stations += 1;
    }
    assert!(stations > 5);
    for (product, flow) in back["flows"].as_object().unwrap() {
        let stages = flow["stages"].as_array().unwrap();
        let came = |row: &&Value| {
            row["kind"] == "flow" && row["id"] == *product && row["figure"] == "came"
        };
        assert_eq!(rows.iter().filter(came).count(), stages.len(), "{product}");
    }
    for (product, fruit) in back["fruit"].as_object().unwrap() {
        let real = value("yield", product, "real");
        assert!((real - fruit["lb_per_quart"].as_f64().unwrap()).abs() < 1e-3);
    }
}

/// The written day has pears for quarts and peaches for pints by the published averages of 2.5 lb a
/// quart and 11 lb for nine pints (USDA Complete Guide to Home Canning, AIB 539, Guide 2): what it
/// took must lie within what households see, a quarter less to a fifth more.
#[test]
fn pounds_for_a_quart_lie_in_the_range_of_households() {
    let json: Value = serde_json::from_str(&said(&[WRITTEN, "--json"])).unwrap();
    let fruit = json["look_back"]["fruit"].as_object().unwrap();
    assert!(!fruit.is_empty());
    for (product, one) in fruit {
        let real = one["lb_per_quart"].as_f64().unwrap();
        assert!((2.5 * 0.75..=2.5 * 1.2).contains(&real), "{product}: {one}");
        assert!(
            !one["published"].as_array().unwrap().is_empty(),
            "{product}"
        );
    }
}

#[test]
fn the_page_is_one_file_that_asks_for_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let out: PathBuf = folder.path().join("day.html");
    said(&[
        WRITTEN,
        "--html",
        out.to_str().unwrap(),
        "--earlier",
        WRITTEN,
    ]);
    let page = std::fs::read_to_string(&out).unwrap();
    let told = python(
        "import sys,json,re\n\
         import html.parser as h, xml.etree.ElementTree as x\n\
         text=sys.stdin.read()\n\
         class P(h.HTMLParser):\n\
         \x20def __init__(s):\n\
         \x20 super().__init__(); s.open=[]; s.bad=[]; s.asks=[]; s.heads=0\n\
         \x20def handle_starttag(s,t,a):\n\
         \x20 s.heads+=t=='h2'\n\
         \x20 s.asks+=[k for k,_ in a if k in('src','href','srcset','data','action')]\n\
         \x20 if t not in('meta','br'): s.open.append(t)\n\
         \x20def handle_endtag(s,t):\n\
         \x20 s.bad+=[t] if not s.open or s.open.pop()!=t else []\n\
         \x20def handle_startendtag(s,t,a): s.handle_starttag(t,a); s.handle_endtag(t)\n\
         p=P(); p.feed(text)\n\
         svgs=re.findall(r'<svg.*?</svg>',text,re.S)\n\
         parts=sum(len(list(x.fromstring(s).iter())) for s in svgs)\n\
         print(json.dumps([p.heads,p.asks,p.bad+p.open,len(svgs),parts]))",
        &page,
    );
    let numbers = |place: usize| told[place].as_u64().unwrap();
    assert!(numbers(0) >= 8, "{told}");
    assert_eq!(
        (&told[1], &told[2]),
        (&serde_json::json!([]), &serde_json::json!([]))
    );
    assert!(numbers(3) >= 2 && numbers(4) > 30, "{told}");
    for asked in ["url(", "@import", "<script"] {
        assert!(!page.contains(asked), "{asked}");
    }
    assert!(page.contains("Beside other days"));
}

#[test]
fn what_cannot_be_read_is_said_with_the_right_code() {
    let missing = putby(&["no-such-file"]);
    assert_eq!(missing.status.code(), Some(2));
    let folder = tempfile::tempdir().unwrap();
    let empty = folder.path().join("empty.ndjson");
    std::fs::write(&empty, "\n").unwrap();
    let none = putby(&[empty.to_str().unwrap()]);
    assert_eq!(none.status.code(), Some(2));
    let words = String::from_utf8(none.stderr).unwrap();
    assert!(words.contains("opens no day"), "{words}");
    let out = folder.path().join("no/such/folder.html");
    let unwritten = putby(&[WRITTEN, "--html", out.to_str().unwrap()]);
    assert_eq!(unwritten.status.code(), Some(1));
    let both = putby(&[WRITTEN, "--json", "--csv"]);
    assert_eq!(both.status.code(), Some(2));
}
