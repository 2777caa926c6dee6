//! Every route, described: in the order of the table of rights.

use super::operation::{Operation, Tells, read, write};
use super::schemas::object;
use crate::day;
use crate::day::plan::DayPlan;
use crate::engine::Receipt;
use crate::lookback::{FinishCourse, LookBack};
use crate::prepare::Ask;
use crate::prepare::next_year::{NextYear, Season};
use crate::server::access::{entrance, invite, list, me};
use crate::server::json::CommandRequest;
use crate::server::shelf as packages;
use crate::server::{carry, commands, copies, foods, health, learned, next_day, queries, review};
use crate::shelf;
use crate::trade::TestedProcess;

/// All of them.
pub fn operations() -> Vec<Operation> {
    let groups = [
        access(),
        days(),
        look_back(),
        the_shelf(),
        before(),
        keeping(),
    ];
    groups.into_iter().flatten().collect()
}

const PICTURE: &str = "image/svg+xml";
const TABLE: &str = "text/csv; charset=utf-8";

fn access() -> Vec<Operation> {
    vec![
        read("/api/openapi.json", "api", "This document.").tells_object("OpenAPI 3.1."),
        read("/api/me", "me", "What this device is and may do.").tells::<me::Me>("This device."),
        write("/api/me", "enter", "Another rank for this device: a higher one by a key.")
            .noting(
                " A lower one needs no key. A browser is known by the cookie of the answer from then on. \
                 A script keeps the role its key was made with.",
            )
            .asks::<me::Wish>()
            .tells::<me::Me>("This device as it is now.")
            .refuses(&[401, 409]),
        read("/api/join", "join", "The addresses to open on another device, and the code to type.")
            .tells::<invite::Join>("How to join."),
        read("/api/join.svg", "joinPicture", "The address by which to join, as a QR code.")
            .asks_in_query::<invite::Destination>()
            .tells_as(PICTURE, "The QR code."),
        read("/api/watch.svg", "watchPicture", "The walls' link as a QR code.")
            .asks_in_query::<invite::Destination>()
            .tells_as(PICTURE, "The QR code."),
        read("/api/doors", "doors", "How devices come in.").tells::<entrance::Entrance>("The doors."),
        write("/api/doors", "changeDoors", "Another code, another link for walls, or whether walls show the code.")
            .asks::<entrance::Change>()
            .tells::<entrance::Entrance>("The doors as they are now."),
        read("/api/devices", "devices", "Every device that is in.").tells::<list::List>("The devices."),
        write("/api/devices", "makeKey", "A key for a script, told this once.")
            .asks::<list::ScriptRequest>()
            .makes::<list::Made>("The key."),
        write("/api/devices/{device}/remove", "removeDevice", "Puts a device out.")
            .asks::<list::PutOutRequest>()
            .tells::<list::List>("The devices that are left.")
            .refuses(&[409]),
    ]
}

fn days() -> Vec<Operation> {
    vec![
        read("/api/days", "days", "All days.").tells::<queries::DayList>("The days, by id."),
        write("/api/days", "openDay", "Opens a day.")
            .asks::<commands::OpenRequest>()
            .makes::<commands::Opened>("It is open.")
            .refuses(&[409]),
        write(
            "/api/days/{day}/commands",
            "orderDay",
            "One order of a day.",
        )
        .noting(" Some orders are the lead's alone.")
        .asks::<CommandRequest<day::Command>>()
        .tells::<Receipt>("It is done, and on the disk.")
        .refuses(&[409]),
        write(
            "/api/days/{day}/holders",
            "standFor",
            "This device stands for a helper.",
        )
        .asks::<commands::HolderRequest>()
        .tells::<commands::Held>("Which device stands for whom."),
        read(
            "/api/days/{day}/view",
            "view",
            "The day as screens show it.",
        )
        .tells_object("The view, and the number of the event it was made after."),
        read(
            "/api/days/{day}/live",
            "live",
            "The day as it goes on, by WebSocket.",
        )
        .noting(" A whole view, then merge patches (RFC 7396) of it.")
        .and(Tells::Nothing(101, "The socket is open."))
        .refuses(&[426]),
        read(
            "/api/days/{day}/events",
            "events",
            "What happened, a JSON object a line.",
        )
        .asks_in_query::<queries::Start>()
        .tells_as("application/x-ndjson", "The events."),
        read(
            "/api/days/{day}/plan-again",
            "planAgain",
            "A plan for another day like this one.",
        )
        .tells::<DayPlan>("The plan."),
        read("/api/days/{day}/outlook", "outlook", "What is to come.")
            .tells_object("The latest outlook; there is none of a closed day."),
        read(
            "/api/days/{day}/gather",
            "gatherList",
            "What to gather and look over before the day.",
        )
        .tells::<next_day::List>("The list."),
        read(
            "/api/days/{day}/next-day.ics",
            "nextDay",
            "What is due on the next day, as iCalendar (RFC 5545).",
        )
        .tells_as("text/calendar; charset=utf-8", "The calendar."),
    ]
}

fn look_back() -> Vec<Operation> {
    vec![
        read(
            "/api/days/{day}/look-back",
            "lookBack",
            "The day's figures.",
        )
        .tells::<LookBack>("The figures."),
        read(
            "/api/days/{day}/look-back.csv",
            "lookBackTable",
            "The day's figures as a table.",
        )
        .tells_as(TABLE, "The table."),
        read(
            "/api/days/{day}/look-back/finish",
            "foretoldEnd",
            "How the foretold end of the day moved.",
        )
        .noting(" Simulated anew, so it takes some seconds.")
        .tells::<FinishCourse>("How it moved."),
        read(
            "/api/days/{day}/look-back/beside",
            "daysBeside",
            "The day's few figures beside those of earlier days.",
        )
        .tells::<review::Beside>("This day first, then the newest."),
    ]
}

fn the_shelf() -> Vec<Operation> {
    vec![
        read(
            "/api/days/{day}/lots",
            "lots",
            "Where the packages of a day come from and where they are.",
        )
        .tells::<packages::LotsTold>("The lots."),
        read(
            "/api/days/{day}/lots/{code}.svg",
            "lotPicture",
            "The address of a lot's page as a QR code.",
        )
        .tells_as(PICTURE, "The QR code."),
        read(
            "/api/shelf",
            "shelf",
            "Everything that was put by and what became of it.",
        )
        .tells::<packages::ShelfTold>("The shelf."),
        read("/api/shelf.csv", "shelfTable", "What is left, as a table.")
            .tells_as(TABLE, "The table."),
        read(
            "/api/shelf/uses",
            "uses",
            "The history of the shelf in short, for planning.",
        )
        .tells::<shelf::Uses>("What was used."),
        write(
            "/api/shelf/commands",
            "orderShelf",
            "One order of the shelf.",
        )
        .noting(" Some orders are the lead's alone.")
        .asks::<CommandRequest<shelf::Command>>()
        .tells::<Receipt>("It is done, and on the disk.")
        .refuses(&[404, 409]),
    ]
}

fn before() -> Vec<Operation> {
    vec![
        read("/api/learned", "learned", "What closed days taught.")
            .noting(" How fast each person was is told to the lead alone.")
            .tells::<learned::LearnedList>("What was learned."),
        write(
            "/api/learned",
            "correctLearned",
            "The lead's own figure for something, or that it is forgotten.",
        )
        .asks::<learned::CorrectionRequest>()
        .tells::<learned::LearnedList>("What is learned now.")
        .refuses(&[409]),
        read("/api/kitchens", "kitchens", "Ready kitchens to start from.")
            .tells_object("Each with its name, what it is for and its plan."),
        read("/api/foods", "foods", "Every food with a tested process.")
            .tells_object("The foods, with the methods, packs and jars they are tested for."),
        read("/api/tested", "tested", "One tested process.")
            .asks_in_query::<foods::Asked>()
            .tells::<TestedProcess>("The process.")
            .refuses(&[404]),
        write("/api/prepare", "prepare", "What to make of what there is.")
            .noting(" Nothing is kept of it.")
            .asks::<Ask>()
            .tells_object("The proposal.")
            .refuses(&[422]),
        write(
            "/api/prepare/next-year",
            "nextYear",
            "What to change after a season.",
        )
        .noting(" Nothing is kept of it.")
        .asks::<Season>()
        .tells::<NextYear>("What to change, by product.")
        .refuses(&[422]),
    ]
}

fn keeping() -> Vec<Operation> {
    vec![
        read(
            "/api/export",
            "export",
            "Everything the board keeps, as one file.",
        )
        .tells_object("The file."),
        write(
            "/api/import",
            "import",
            "Reads an exported file into the board, all of it or nothing.",
        )
        .asks_for(object)
        .tells::<carry::Imported>("What it brought.")
        .refuses(&[409]),
        read(
            "/api/copies",
            "copies",
            "The copies of the journal, and whether all is well.",
        )
        .tells::<copies::CopyList>("The copies, the newest first."),
        write("/api/copies", "makeCopy", "Copies the journal now.")
            .noting(" What the body holds is not looked at.")
            .asks_for(|_| true.into())
            .tells::<crate::copies::Kept>("The copy."),
        read("/api/copies/{name}", "copy", "A copy as a file.")
            .tells_as("application/vnd.sqlite3", "A database of SQLite."),
        read("/health", "health", "Whether taps can be kept.")
            .tells::<health::Health>("They can.")
            .and(Tells::Json(
                503,
                "They cannot; `instead` says what to do.",
                super::schemas::of::<health::Health>,
            )),
        read(
            "/metrics",
            "metrics",
            "The measures of the board as Prometheus reads them.",
        )
        .noting(" From another computer only the lead may.")
        .tells_as("text/plain; version=0.0.4; charset=utf-8", "The measures.")
        .refuses(&[401]),
        read(
            "/{file:.*}",
            "page",
            "A file of the pages; the first page without a name.",
        )
        .and(Tells::Other(200, "The file.", "*/*"))
        .and(Tells::Nothing(304, "It is as it was.")),
    ]
}
