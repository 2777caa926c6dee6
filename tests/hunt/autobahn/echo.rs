//! A server that says back what it hears, on the board's own way of keeping a socket: what the
//! Autobahn cases are run against. Only the length of a message is not the board's.

use actix_web::{App, Error, HttpRequest, HttpResponse, HttpServer, rt, web};
use putby::server::socket::{self, Ending, Heard, Incoming};

/// The longest message among the cases that are run, with room to spare.
const BYTES_MAX: usize = 1 << 20;

async fn echo(request: HttpRequest, payload: web::Payload) -> Result<HttpResponse, Error> {
    let (response, mut session, mut incoming, closer) =
        socket::open(&request, payload, BYTES_MAX).await?;
    rt::spawn(async move {
        let Err(ending) = say_back(&mut session, &mut incoming).await;
        closer.end(ending).await;
    });
    Ok(response)
}

async fn say_back(
    session: &mut actix_ws::Session,
    incoming: &mut Incoming,
) -> Result<std::convert::Infallible, Ending> {
    loop {
        let said = match incoming.next().await? {
            Heard::Ping(bytes) => session.pong(&bytes).await,
            Heard::Message {
                is_text: false,
                bytes,
            } => session.binary(bytes).await,
            Heard::Message { bytes, .. } => {
                let text = String::from_utf8(bytes.into()).expect("text on a socket is UTF-8");
                session.text(text).await
            }
            Heard::Sign => Ok(()),
        };
        said.map_err(|_| None)?;
    }
}

#[actix_web::main]
async fn main() -> std::io::Result<()> {
    let address = std::env::args().nth(1).unwrap_or("127.0.0.1:0".to_owned());
    let server = HttpServer::new(|| App::new().default_service(web::get().to(echo)));
    let server = server.on_connect(|stream, connection| {
        if let Some(stream) = stream.downcast_ref() {
            socket::keep_line(stream, connection);
        }
    });
    let server = server.bind(address)?.workers(2);
    for address in server.addrs() {
        println!("{address}");
    }
    server.run().await
}
