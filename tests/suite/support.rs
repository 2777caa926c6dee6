//! A server of its own for each test, and clients to speak to it.

use actix_web::cookie::Cookie;
use actix_web::dev::ServerHandle;
use actix_web::{rt, web};
use awc::ClientRequest;
use awc::ws::Frame;
use futures_util::StreamExt;
use futures_util::stream::LocalBoxStream;
use putby::clock::SetClock;
use putby::config::{Config, Heartbeat, Limits, Rhythm};
use putby::day::time::Timestamp;
use putby::server::{Site, build};
use serde_json::{Value, json};
use std::io::Read;
use std::net::{TcpListener, TcpStream};
use std::sync::Arc;
use std::time::Duration;
use tempfile::TempDir;
use tokio::time::timeout;
use uuid::Uuid;

/// Long enough for a busy machine; reached only by a test that fails.
pub const LIMIT: Duration = Duration::from_secs(30);

/// Saturday, 12 September 2026, 09:00 UTC.
pub const MORNING: Timestamp = Timestamp(1_789_203_600_000);

pub struct TestApp {
    pub address: String,
    /// As it was shown at the first start on this folder.
    pub lead_key: String,
    /// A browser that joined by the code.
    pub helper: Browser,
    pub site: web::Data<Site>,
    pub clock: Arc<SetClock>,
    handle: ServerHandle,
    serving: rt::task::JoinHandle<std::io::Result<()>>,
    folder: Arc<TempDir>,
}

/// A browser that was let in: where, and by what it is known.
#[derive(Debug, Clone)]
pub struct Browser {
    pub address: String,
    pub secret: String,
}

impl Browser {
    /// The request as this browser sends it.
    pub fn sends(&self, request: ClientRequest) -> ClientRequest {
        let (cookie, origin) = self.headers();
        request.insert_header(cookie).insert_header(origin)
    }

    pub fn headers(&self) -> ((&'static str, String), (&'static str, String)) {
        let cookie = format!("putby-device={}", self.secret);
        (("cookie", cookie), ("origin", self.address.clone()))
    }

    /// The address without its scheme, and the header by which a line of text comes in.
    pub fn raw(&self) -> (&str, String) {
        let host = self.address.trim_start_matches("http://");
        (host, format!("authorization: Bearer {}", self.secret))
    }

    pub async fn get(&self, path: &str) -> Answer {
        let request = client().get(format!("{}{path}", self.address));
        answer(self.sends(request).send()).await
    }

    pub async fn post(&self, path: &str, body: &Value) -> Answer {
        let request = client().post(format!("{}{path}", self.address));
        answer(self.sends(request).send_json(body)).await
    }
}

/// A status, a body and whatever else is asked of an answer.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub kind: String,
    pub body: Value,
}

impl Answer {
    pub fn code(&self) -> &str {
        self.body["code"].as_str().unwrap_or("no problem")
    }

    /// The status and the problem's code: what most tests ask.
    pub fn verdict(&self) -> (u16, &str) {
        (self.status, self.code())
    }

    /// A problem in due form, with words that say what is wrong and what to do.
    pub fn is_clear_problem(&self) -> bool {
        let said = |field: &str| {
            self.body[field]
                .as_str()
                .is_some_and(|text| text.len() > 10)
        };
        self.kind.starts_with("application/problem+json")
            && self.body["status"] == self.status
            && self.body["type"].is_string()
            && self.body["title"].is_string()
            && said("detail")
            && said("instead")
    }
}

impl TestApp {
    pub async fn start() -> TestApp {
        let clock = Arc::new(SetClock::at(MORNING));
        TestApp::start_in(Arc::new(TempDir::new().unwrap()), clock, Heartbeat::USUAL).await
    }

    /// A server with the small kitchen's day open.
    pub async fn with_day() -> TestApp {
        let app = TestApp::start().await;
        app.open_small_day().await;
        app
    }

    pub async fn start_in(
        folder: Arc<TempDir>,
        clock: Arc<SetClock>,
        heartbeat: Heartbeat,
    ) -> TestApp {
        TestApp::start_with(folder, clock, |config| config.heartbeat = heartbeat).await
    }

    /// A server that looks ahead at once after each change, with the small kitchen's day open.
    pub async fn with_outlooks() -> TestApp {
        let clock = Arc::new(SetClock::at(MORNING));
        let app = TestApp::looking_ahead(Arc::new(TempDir::new().unwrap()), clock).await;
        app.open_small_day().await;
        app
    }

    pub async fn looking_ahead(folder: Arc<TempDir>, clock: Arc<SetClock>) -> TestApp {
        let eager = Rhythm {
            settle: Duration::ZERO,
            pause: Duration::ZERO,
            renew: LIMIT,
        };
        TestApp::start_with(folder, clock, |config| config.outlooks = Some(eager)).await
    }

    /// A server that lets every device help.
    pub async fn open_to_all() -> TestApp {
        let clock = Arc::new(SetClock::at(MORNING));
        let folder = Arc::new(TempDir::new().unwrap());
        TestApp::start_with(folder, clock, |config| config.open = true).await
    }

    /// Most tests are not about what is to come, and their servers do not look ahead.
    pub async fn start_with(
        folder: Arc<TempDir>,
        clock: Arc<SetClock>,
        change: impl FnOnce(&mut Config),
    ) -> TestApp {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let mut config = Config::new(folder.path().join("data"));
        config.outlooks = None;
        config.copy_every = None;
        config.limits = Limits::WIDE;
        change(&mut config);
        let address = listener.local_addr().unwrap();
        let site = Site::open(&config, address, Some(clock.clone())).unwrap();
        let server = build(listener, site.clone()).unwrap();
        let handle = server.handle();
        let serving = rt::spawn(server);
        let address = format!("http://{address}");
        let lead_key = remembered(&folder, site.lead_key());
        let helper = match site.join_code() {
            Some(code) => {
                come_in(&address, &json!({"code": code.to_string()}))
                    .await
                    .1
            }
            None => Some(stranger(&address).await),
        };
        TestApp {
            address,
            lead_key,
            helper: helper.unwrap(),
            site,
            clock,
            handle,
            serving,
            folder,
        }
    }

    /// Stops the server and gives back what it leaves behind.
    pub async fn stop(self) -> (Arc<TempDir>, Arc<SetClock>) {
        self.site.say_farewell();
        self.handle.stop(true).await;
        self.serving.await.unwrap().unwrap();
        let site = self.site;
        web::block(move || site.days.stop()).await.unwrap();
        (self.folder, self.clock)
    }

    pub async fn restart(self) -> TestApp {
        let (folder, clock) = self.stop().await;
        TestApp::start_in(folder, clock, Heartbeat::USUAL).await
    }

    pub fn data(&self) -> std::path::PathBuf {
        self.folder.path().join("data")
    }

    pub fn url(&self, path: &str) -> String {
        format!("{}{path}", self.address)
    }

    pub async fn get(&self, path: &str) -> Answer {
        self.helper.get(path).await
    }

    pub async fn post(&self, path: &str, body: &Value) -> Answer {
        self.helper.post(path, body).await
    }

    /// What a new browser is answered that comes in by a key or a code, and the browser if it is in.
    pub async fn come_in(&self, key: &Value) -> (Answer, Option<Browser>) {
        come_in(&self.address, key).await
    }

    /// One more browser that joined by the code.
    pub async fn another_helper(&self) -> Browser {
        let code = self.site.join_code().unwrap().to_string();
        self.come_in(&json!({"code": code})).await.1.unwrap()
    }

    /// A browser that is the lead's.
    pub async fn lead_browser(&self) -> Browser {
        let key = json!({"lead_key": self.lead_key});
        self.come_in(&key).await.1.unwrap()
    }

    /// A screen that came by the walls' link.
    pub async fn wall(&self) -> Browser {
        let link = json!({"watch": self.site.watch_token()});
        self.come_in(&link).await.1.unwrap()
    }

    pub async fn get_as_lead(&self, path: &str) -> Answer {
        let request = client().get(self.url(path)).bearer_auth(&self.lead_key);
        answer(request.send()).await
    }

    pub async fn post_as_lead(&self, path: &str, body: &Value) -> Answer {
        let request = client().post(self.url(path)).bearer_auth(&self.lead_key);
        answer(request.send_json(body)).await
    }

    /// Text as it stands, with the type of JSON.
    pub async fn post_text(&self, path: &str, text: impl Into<Vec<u8>>) -> Answer {
        let request = self.helper.sends(client().post(self.url(path)));
        let request = request.content_type("application/json");
        answer(request.send_body(text.into())).await
    }

    /// A helper's command to the small day, under a fresh id.
    pub async fn order(&self, command: Value) -> Answer {
        self.order_as(Uuid::new_v4(), command).await
    }

    pub async fn order_as(&self, id: Uuid, command: Value) -> Answer {
        self.post(COMMANDS, &json!({"id": id, "command": command}))
            .await
    }

    pub async fn lead_orders(&self, command: Value) -> Answer {
        let body = json!({"id": Uuid::new_v4(), "command": command});
        self.post_as_lead(COMMANDS, &body).await
    }

    pub async fn open_small_day(&self) -> Answer {
        let body = json!({"id": Uuid::new_v4(), "day": "small", "plan": small_plan()});
        let opened = self.post_as_lead("/api/days", &body).await;
        assert_eq!(opened.status, 201, "{opened:?}");
        opened
    }

    pub async fn view(&self) -> Value {
        self.get("/api/days/small/view").await.body
    }

    pub async fn seq(&self) -> u64 {
        self.view().await["seq"].as_u64().unwrap()
    }

    /// The events of the small day, as they are stored.
    pub async fn events(&self) -> Vec<Value> {
        let request = client().get(self.url("/api/days/small/events"));
        let mut response = self.helper.sends(request).send().await.unwrap();
        let text = response.body().limit(64 << 20).await.unwrap();
        let lines = text
            .split(|&byte| byte == b'\n')
            .filter(|line| !line.is_empty());
        lines
            .map(|line| serde_json::from_slice(line).unwrap())
            .collect()
    }

    pub async fn follow(&self) -> Device {
        self.follow_at("/api/days/small/live").await
    }

    pub async fn follow_at(&self, path: &str) -> Device {
        self.follow_as(&self.helper, path).await
    }

    pub async fn follow_as(&self, browser: &Browser, path: &str) -> Device {
        let ((cookie, secret), (_, origin)) = browser.headers();
        let socket = client().ws(self.url(path)).max_frame_size(64 << 20);
        let socket = socket.header(cookie, secret).origin(origin);
        let (response, framed) = timeout(LIMIT, socket.connect()).await.unwrap().unwrap();
        assert_eq!(response.status(), 101);
        let frames = framed.filter_map(|frame| async { frame.ok() });
        let mut device = Device {
            frames: Box::pin(frames),
            seq: 0,
            view: Value::Null,
            journal: Value::Null,
            commands: Vec::new(),
            outlook: Value::Null,
        };
        device.take_view().await;
        device
    }
}

/// The lead's key of a folder, which the server shows only once.
fn remembered(folder: &TempDir, shown: Option<&str>) -> String {
    let file = folder.path().join("noted-lead-key");
    if let Some(key) = shown {
        std::fs::write(&file, key).unwrap();
    }
    std::fs::read_to_string(file).unwrap()
}

/// The cookie by which the server knows this browser from now on, if it gave one.
pub fn given_cookie(headers: &awc::http::header::HeaderMap) -> Option<Cookie<'static>> {
    let given = headers.get("set-cookie")?.to_str().unwrap();
    Some(Cookie::parse(given.to_owned()).unwrap())
}

/// A browser that comes by the bare address of a board that lets everybody in.
pub async fn stranger(address: &str) -> Browser {
    let asked = client().get(format!("{address}/api/me")).send();
    let cookie = given_cookie(asked.await.unwrap().headers()).unwrap();
    Browser {
        address: address.to_owned(),
        secret: cookie.value().to_owned(),
    }
}

/// As a page does it that was opened by a code, a link or the lead's address.
pub async fn come_in(address: &str, key: &Value) -> (Answer, Option<Browser>) {
    let request = client().post(format!("{address}/api/me"));
    let mut response = request
        .insert_header(("origin", address))
        .send_json(key)
        .await
        .unwrap();
    let browser = given_cookie(response.headers()).map(|cookie| Browser {
        address: address.to_owned(),
        secret: cookie.value().to_owned(),
    });
    (read_answer(&mut response).await, browser)
}

/// The head of one response in small letters, read as it comes over the wire; `None` where the
/// connection ends before it is whole.
pub fn read_head(socket: &mut TcpStream) -> Option<String> {
    let mut head = Vec::new();
    while !head.ends_with(b"\r\n\r\n") {
        let mut byte = [0];
        socket.read_exact(&mut byte).ok()?;
        head.push(byte[0]);
    }
    Some(String::from_utf8(head).unwrap().to_ascii_lowercase())
}

/// The head and the body of one response, likewise.
pub fn read_response(socket: &mut TcpStream) -> Option<(String, String)> {
    let head = read_head(socket)?;
    let length = head.split("content-length: ").nth(1);
    let length = length.map_or(0, |rest| {
        rest.split("\r\n").next().unwrap().parse().unwrap()
    });
    let mut body = vec![0; length];
    socket.read_exact(&mut body).ok()?;
    Some((head, String::from_utf8_lossy(&body).into_owned()))
}

pub const COMMANDS: &str = "/api/days/small/commands";

/// A browser that follows the small day as a browser does.
pub struct Device {
    frames: LocalBoxStream<'static, Frame>,
    pub seq: u64,
    pub view: Value,
    /// Which journal the view is of.
    pub journal: Value,
    pub commands: Vec<String>,
    pub outlook: Value,
}

impl Device {
    pub async fn frame(&mut self) -> Option<Frame> {
        timeout(LIMIT, self.frames.next())
            .await
            .expect("a frame in time")
    }

    /// The next push.
    pub async fn push(&mut self) -> Value {
        loop {
            match self.frame().await {
                Some(Frame::Text(text)) => return serde_json::from_slice(&text).unwrap(),
                Some(Frame::Ping(_)) => {}
                other => panic!("expected a push, got {other:?}"),
            }
        }
    }

    async fn take_view(&mut self) {
        let push = self.push().await;
        assert_eq!(push["push"], "view", "{push}");
        self.seq = push["seq"].as_u64().unwrap();
        self.view = push["view"].clone();
        self.journal = push["journal"].clone();
    }

    /// Takes pushes until the view after event `seq` is reached.
    pub async fn reach(&mut self, seq: u64) {
        while self.seq < seq {
            let push = self.push().await;
            if push["push"] == "outlook" {
                self.outlook = push;
                continue;
            }
            assert_eq!(push["push"], "patch", "{push}");
            assert_eq!(push["from"], self.seq, "a gap");
            self.seq = push["seq"].as_u64().unwrap();
            json_patch::merge(&mut self.view, &push["patch"]);
            let commands = push["commands"].as_array().unwrap().iter();
            self.commands
                .extend(commands.map(|id| id.as_str().unwrap().to_owned()));
        }
        assert_eq!(self.seq, seq, "further than asked");
    }

    /// Takes pushes until there is an outlook of the day after event `seq`, and gives its push.
    pub async fn reach_outlook(&mut self, seq: u64) -> &Value {
        while self.outlook["seq"].as_u64() < Some(seq) {
            let push = self.push().await;
            match push["push"].as_str() {
                Some("outlook") => self.outlook = push,
                Some("patch") => {
                    self.seq = push["seq"].as_u64().unwrap();
                    json_patch::merge(&mut self.view, &push["patch"]);
                }
                _ => panic!("expected a patch or an outlook, got {push}"),
            }
        }
        &self.outlook
    }
}

pub fn client() -> awc::Client {
    awc::Client::builder().timeout(LIMIT).finish()
}

pub async fn answer(request: awc::SendClientRequest) -> Answer {
    read_answer(&mut request.await.unwrap()).await
}

async fn read_answer<S>(response: &mut awc::ClientResponse<S>) -> Answer
where
    S: futures_util::Stream<Item = Result<bytes::Bytes, awc::error::PayloadError>>,
{
    let bytes = response.body().limit(64 << 20).await.unwrap();
    let kind = response.headers().get("content-type");
    Answer {
        status: response.status().as_u16(),
        kind: kind.map_or(String::new(), |kind| kind.to_str().unwrap().to_owned()),
        body: serde_json::from_slice(&bytes).unwrap_or(Value::Null),
    }
}

/// A kitchen with a sink for two, a peeler for one and a shelf; two grown-ups and a child.
pub fn small_plan() -> Value {
    let carrier = json!({"name": "bowl", "holds": 5000});
    json!({
        "name": "Pears", "date": "2026-09-12", "altitude_ft": 500,
        "stations": {
            "wash": {"name": "Wash", "work": "wash", "nature": {"is": "hand"}, "seats": 2},
            "peel": {"name": "Peel", "work": "peel", "nature": {"is": "hand"}, "seats": 1,
                     "needs": ["blade"]},
            "bag": {"name": "Bag", "work": "bag", "nature": {"is": "hand"}, "seats": 2},
        },
        "helpers": {
            "maren": {"name": "Maren", "age": 44, "sign": "pear"},
            "osk": {"name": "Osk", "age": 46, "sign": "plum"},
            "bo": {"name": "Bo", "age": 6, "sign": "leaf"},
        },
        "products": {
            "slices": {
                "name": "Pear slices", "produce": "pears",
                "ends_in": {"as": "frozen", "package": "bag"},
                "route": [
                    {"station": "wash", "measure": "lb", "carrier": carrier},
                    {"station": "peel", "measure": "lb", "carrier": carrier},
                    {"station": "bag", "measure": "lb", "carrier": carrier,
                     "yields": {"made": 1000, "from": 2000}},
                ],
            },
        },
        "lots": {
            "hill": {"name": "Hill orchard", "produce": "pears", "measure": "lb",
                     "amount": 80000, "box_holds": 40000},
        },
    })
}

pub fn note(text: &str) -> Value {
    json!({"order": "note", "on": {"about": "day"}, "text": text})
}

pub fn claim(helper: &str, station: &str) -> Value {
    json!({"order": "claim", "helper": helper, "station": station})
}

pub fn leave(helper: &str) -> Value {
    json!({"order": "leave", "helper": helper})
}
