//! `putby tested`: answers how long a product is processed, from the published tables only.
//!
//! For a cook or a script that asks one question or lists the tables. Not for planning a load.
//! Invariant: an answer always names its source; no answer is a refusal with exit code 3, never a
//! number. Altitude has no default.

use std::process::ExitCode;

use clap::Args;
use serde::Serialize;
use serde_json::{Value, json};

use super::say::say;
use crate::trade::{
    self, Band, Jar, Method, Metres, NoTestedProcess, Pack, PressureOption, Table, TestedProcess,
    sixty_fourths_text,
};

const LAST_WORD: &str =
    "The tested recipe you follow and your local extension service go before this answer.";
const NO_ALTITUDE: &str = "error: the altitude must be given, with --altitude-ft or --altitude-m; \
    it changes the time or the pressure and is never assumed";

/// Looks up the tested process for a product, jar, pack and altitude.
#[derive(Debug, Clone, Args)]
pub struct TestedArgs {
    /// Lists every tabled process instead of answering one question.
    #[arg(long, conflicts_with_all = ["product", "jar", "pack", "method"])]
    #[arg(conflicts_with_all = ["altitude_ft", "altitude_m"])]
    pub list: bool,
    /// The product, by its name or a listed alias.
    #[arg(long, value_name = "NAME", required_unless_present = "list")]
    pub product: Option<String>,
    /// The jar: half-pint, pint, quart or half-gallon.
    #[arg(long, required_unless_present = "list")]
    pub jar: Option<Jar>,
    /// The pack: hot or raw.
    #[arg(long, required_unless_present = "list")]
    pub pack: Option<Pack>,
    /// The method: boiling-water, steam, pressure-dial or pressure-weighted.
    #[arg(long, default_value_t = Method::BoilingWater)]
    pub method: Method,
    /// The kitchen's altitude in feet.
    #[arg(long, value_name = "FEET", allow_negative_numbers = true)]
    #[arg(conflicts_with = "altitude_m")]
    pub altitude_ft: Option<i32>,
    /// The kitchen's altitude in metres; counted as the next whole foot up.
    #[arg(long, value_name = "METRES", allow_negative_numbers = true)]
    pub altitude_m: Option<Metres>,
    /// Answers in JSON.
    #[arg(long)]
    pub json: bool,
}

/// What the command prints and its exit code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Text for standard output; may be empty.
    pub stdout: String,
    /// Text for standard error; may be empty.
    pub stderr: String,
    /// 0 answered, 1 the facts are at fault, 2 bad usage, 3 refused.
    pub exit: u8,
}

impl Answer {
    fn out(stdout: String, exit: u8) -> Self {
        Self {
            stdout,
            stderr: String::new(),
            exit,
        }
    }

    fn err(stderr: String, exit: u8) -> Self {
        Self {
            stdout: String::new(),
            stderr,
            exit,
        }
    }
}

/// The JSON of an answer; its fields are fixed.
#[derive(Serialize)]
struct AnswerBody<'answer> {
    product: &'answer str,
    method: Method,
    pack: Pack,
    jar: Jar,
    altitude_ft: i32,
    minutes: u32,
    psi: Option<u32>,
    headspace_in: f64,
    acid: Option<&'answer str>,
    source: &'answer str,
}

/// Runs the command and prints its answer.
pub fn run(args: &TestedArgs) -> ExitCode {
    let answer = answer(args);
    if !answer.stderr.is_empty() {
        eprintln!("{}", answer.stderr);
    }
    let code = ExitCode::from(answer.exit);
    match answer.stdout.as_str() {
        "" => code,
        text => say(text, code),
    }
}

/// The answer to the command, without printing it.
pub fn answer(args: &TestedArgs) -> Answer {
    if let Err(faults) = trade::check() {
        return Answer::err(faults.to_string(), 1);
    }
    if args.list {
        return Answer::out(if args.json { list_json() } else { list_text() }, 0);
    }
    let (Some(product), Some(jar), Some(pack)) = (&args.product, args.jar, args.pack) else {
        return Answer::err(
            "error: --product, --jar and --pack must be given".to_string(),
            2,
        );
    };
    let Some(altitude_ft) = args.altitude_ft.or(args.altitude_m.map(Metres::feet_up)) else {
        return Answer::err(NO_ALTITUDE.to_string(), 2);
    };
    match trade::options(product, pack, jar, args.method, altitude_ft) {
        Ok(options) => answered(&options, args.json),
        Err(refusal) if args.json => Answer::out(problem(&refusal), 3),
        Err(refusal) => Answer::err(format!("{refusal}\n{}", refusal.instead()), 3),
    }
}

fn answered(options: &[TestedProcess], json: bool) -> Answer {
    let Some((first, others)) = options.split_first() else {
        return Answer::err("error: no tested process".to_string(), 3);
    };
    Answer::out(
        if json {
            body(first)
        } else {
            text(first, others)
        },
        0,
    )
}

fn body(process: &TestedProcess) -> String {
    pretty(&AnswerBody {
        product: &process.product,
        method: process.method,
        pack: process.pack,
        jar: process.jar,
        altitude_ft: process.altitude_ft,
        minutes: process.minutes,
        psi: process.psi,
        headspace_in: process.headspace_in(),
        acid: process.acid.as_deref(),
        source: &process.source,
    })
}

/// A refusal as a problem object (RFC 9457).
#[derive(Serialize)]
struct ProblemBody {
    r#type: String,
    title: &'static str,
    status: u16,
    detail: String,
    code: &'static str,
    instead: String,
    /// The names, methods, packs or jars that are tabled; empty when the refusal has none.
    choices: Value,
}

fn problem(refusal: &NoTestedProcess) -> String {
    let choices = match refusal {
        NoTestedProcess::UnknownProduct { near, .. } => json!(near),
        NoTestedProcess::MethodNotTabled { tabled, .. } => json!(tabled),
        NoTestedProcess::PackNotTabled { tabled, .. } => json!(tabled),
        NoTestedProcess::JarNotTabled { tabled, .. } => json!(tabled),
        NoTestedProcess::RefusedProduct { .. }
        | NoTestedProcess::AltitudeOutsideTable { .. }
        | NoTestedProcess::AltitudeNotBelievable { .. } => json!([]),
    };
    pretty(&ProblemBody {
        r#type: format!("/problems/{}", refusal.code()),
        title: "No tested process",
        status: 422,
        detail: refusal.to_string(),
        code: refusal.code(),
        instead: refusal.instead(),
        choices,
    })
}

fn pretty(value: &impl Serialize) -> String {
    serde_json::to_string_pretty(value)
        .expect("these bodies have string keys only, so writing them cannot fail")
}

fn text(process: &TestedProcess, others: &[TestedProcess]) -> String {
    let mut lines = vec![
        format!(
            "{}, {} pack, {} jars, {}, {} ft",
            process.product, process.pack, process.jar, process.method, process.altitude_ft
        ),
        format!("  Process:   {}", time_and_pressure(process)),
        format!(
            "  Headspace: {} inch",
            sixty_fourths_text(process.headspace_64ths)
        ),
        format!("  Acid:      {}", acid_text(process)),
        format!("  Jars:      {}", jars_text(process)),
    ];
    for other in others {
        let option = time_and_pressure(other);
        lines.push(format!(
            "  Or:        {option}; take one option whole, never mix two"
        ));
    }
    let product = trade::product(&process.product);
    if let Some(caution) = product.and_then(|product| product.caution.as_deref()) {
        lines.push(format!("  Caution:   {caution}"));
    }
    lines.push(format!("  Source:    {}", process.source));
    lines.push(LAST_WORD.to_string());
    lines.join("\n")
}

fn time_and_pressure(process: &TestedProcess) -> String {
    match process.psi {
        Some(psi) => format!("{} minutes at {psi} psi", process.minutes),
        None => format!("{} minutes", process.minutes),
    }
}

fn acid_text(process: &TestedProcess) -> String {
    match &process.acid {
        Some(acid) => format!("in each jar: {acid}"),
        None => "none needed".to_string(),
    }
}

fn jars_text(process: &TestedProcess) -> &'static str {
    if process.sterilise_jars {
        "sterilise the empty jars first (the process is under 10 minutes)"
    } else {
        "clean and hot; no sterilising needed"
    }
}

/// The JSON of one table in the list.
#[derive(Serialize)]
struct TableBody<'table> {
    product: &'table str,
    method: Method,
    pack: Pack,
    jar: Jar,
    option: Option<PressureOption>,
    headspace_in: f64,
    acid: Option<&'table str>,
    bands: &'table [Band],
}

fn list_json() -> String {
    let listed = |table: &'static Table| TableBody {
        product: &table.product,
        method: table.method,
        pack: table.pack,
        jar: table.jar,
        option: table.option,
        headspace_in: f64::from(table.headspace_64ths) / 64.0,
        acid: table.acid.as_deref(),
        bands: &table.bands,
    };
    pretty(&trade::list().map(listed).collect::<Vec<_>>())
}

fn list_text() -> String {
    let mut lines: Vec<_> = trade::list().map(table_text).collect();
    lines.push("A half-pint uses the pint's time where only the pint is tabled.".to_string());
    lines.push(LAST_WORD.to_string());
    lines.join("\n")
}

fn table_text(table: &Table) -> String {
    let bands = table.bands.iter().map(|band| {
        let altitude = match band.to_ft {
            Some(to) => format!("{}-{to} ft", band.from_ft),
            None => format!("{} ft and above", band.from_ft),
        };
        match band.psi {
            Some(psi) => format!("{altitude} {} min at {psi} psi", band.minutes),
            None => format!("{altitude} {} min", band.minutes),
        }
    });
    let bands: Vec<_> = bands.collect();
    format!(
        "{}, {}, {} pack, {}: {}",
        table.product,
        table.method,
        table.pack,
        table.jar,
        bands.join("; ")
    )
}
