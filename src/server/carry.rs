//! Carrying everything the board keeps: out of it as one file, and into it.

use super::Site;
use super::json;
use super::problem::Problem;
use crate::day::ids::DayId;
use crate::journal::carry::{self, CarryTrouble};
use actix_web::http::{StatusCode, header};
use actix_web::{HttpRequest, HttpResponse, web};
use bytes::Bytes;
use futures_util::StreamExt;
use futures_util::stream::{self, unfold};
use schemars::JsonSchema;
use serde::Serialize;
use std::fs::File;
use std::io::{self, BufReader, Write};
use std::path::PathBuf;
use tokio::sync::mpsc::{Sender, channel};
use uuid::Uuid;

/// The longest file that is read, in bytes: some hundred full days.
const IMPORT_BYTES_MAX: u64 = 512 << 20;
/// How many bytes are sent at a time.
const CHUNK: usize = 64 << 10;
/// How many chunks may wait for a slow reader.
const CHUNKS: usize = 4;

/// `GET /api/export`: everything the board keeps, as one file. For the lead.
///
/// # Errors
/// The journal cannot be read. Damage that is met later ends the
/// file early, so that it is no whole JSON.
pub async fn export(site: web::Data<Site>) -> Result<HttpResponse, Problem> {
    let store = site.store();
    let made_at = site.days.clock().now();
    let (sender, mut receiver) = channel::<Result<Bytes, CarryTrouble>>(CHUNKS);
    // A slow reader keeps this thread waiting, and none of those that answer others.
    std::thread::spawn(move || {
        let mut out = Chunks {
            sender: sender.clone(),
            held: Vec::with_capacity(CHUNK),
        };
        if let Err(trouble) = carry::export(&store, made_at, &mut out) {
            tracing::error!(%trouble, "the export broke off");
            // Whoever asked may be gone.
            let _ = sender.blocking_send(Err(trouble));
        }
    });
    // The first piece is made before anything is answered, so that trouble there is still told.
    let first = match receiver.recv().await {
        Some(first) => first?,
        None => return Err(Problem::internal("the export ended before it began")),
    };
    let rest = unfold(receiver, |mut receiver| async {
        let next = receiver.recv().await?;
        Some((next.map_err(Problem::from), receiver))
    });
    let body = stream::once(async { Ok(first) }).chain(rest);
    let file = "attachment; filename=\"putby-board.json\"";
    Ok(HttpResponse::Ok()
        .content_type("application/json")
        .insert_header((header::CONTENT_DISPOSITION, file))
        .streaming(Box::pin(body)))
}

/// Gathers what is written into chunks and sends them on.
struct Chunks {
    sender: Sender<Result<Bytes, CarryTrouble>>,
    held: Vec<u8>,
}

impl Write for Chunks {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.held.extend_from_slice(bytes);
        if self.held.len() >= CHUNK {
            self.flush()?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        if self.held.is_empty() {
            return Ok(());
        }
        let chunk = Bytes::from(std::mem::take(&mut self.held));
        let sent = self.sender.blocking_send(Ok(chunk));
        sent.map_err(|_| io::Error::from(io::ErrorKind::BrokenPipe))
    }
}

/// What an import brought.
#[derive(Serialize, JsonSchema)]
pub struct Imported {
    days: Vec<ImportedDay>,
}

#[derive(Serialize, JsonSchema)]
struct ImportedDay {
    day: DayId,
    events: u64,
    new: u64,
}

/// `POST /api/import`: reads such a file into the board, all of it or nothing. For the lead. While it
/// is read, taps of the same moment wait.
///
/// # Errors
/// It is not sent as JSON; the file is too long, damaged, newer, or in conflict with a day
/// that is here.
pub async fn import(
    site: web::Data<Site>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<web::Json<Imported>, Problem> {
    json::must_be(&request)?;
    let kept = received(&site, payload).await?;
    let store = site.store();
    let brought = web::block(move || {
        let file = BufReader::new(File::open(&kept.0)?);
        carry::import(&store, file)
    });
    let brought = brought.await?.inspect_err(|trouble| {
        if let CarryTrouble::Journal(trouble) = trouble {
            site.days.disk().note(trouble);
        }
    })?;
    for one in brought.iter().filter(|one| one.new > 0) {
        site.days.read_again(&one.day);
    }
    site.shelf.read_again();
    let days = brought.into_iter().map(|one| ImportedDay {
        day: one.day,
        events: one.events,
        new: one.new,
    });
    Ok(web::Json(Imported {
        days: days.collect(),
    }))
}

/// A file that goes with this value.
struct Passing(PathBuf);

impl Drop for Passing {
    fn drop(&mut self) {
        if let Err(error) = std::fs::remove_file(&self.0) {
            tracing::warn!(%error, "a received file was left behind");
        }
    }
}

/// The body as a file beside the journal: nothing is locked while a slow device sends it.
async fn received(site: &Site, mut payload: web::Payload) -> Result<Passing, Problem> {
    let path = site.data.join(format!("import-{}.part", Uuid::new_v4()));
    let made = path.clone();
    let mut file = web::block(move || File::create_new(made))
        .await?
        .map_err(CarryTrouble::from)?;
    let passing = Passing(path);
    let mut length = 0_u64;
    while let Some(chunk) = payload.next().await {
        let chunk = chunk.map_err(|error| {
            Problem::malformed(format!("The file broke off: {error}."), "Send it again.")
        })?;
        length += chunk.len() as u64;
        if length > IMPORT_BYTES_MAX {
            return Err(Problem::new(
                StatusCode::PAYLOAD_TOO_LARGE,
                "too-long",
                format!("This is longer than the {IMPORT_BYTES_MAX} bytes that are read here."),
                "Stop the board and read the file with `putby import`, which has no such limit.",
            ));
        }
        file = web::block(move || file.write_all(&chunk).map(|()| file))
            .await?
            .map_err(CarryTrouble::from)?;
    }
    Ok(passing)
}
