//! The server: loopback alone, one thread a connection, no path but its own.

use std::io::{self, BufWriter, Write};
use std::net::{Ipv4Addr, Shutdown, SocketAddr, TcpListener, TcpStream};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use serde_json::{Value, json};

use super::change::Change;
use super::desk::{Desk, DeskError};
use super::guard::Guard;
use super::http::{Request, Response};
use super::media::{self, Media};

/// The page's own files: name, media type, text. The first is the page itself.
const PAGE: [(&str, &str, &str); 14] = [
    ("", HTML, include_str!("page/index.html")),
    (
        "page.css",
        "text/css; charset=utf-8",
        include_str!("page/page.css"),
    ),
    ("icon.svg", "image/svg+xml", include_str!("page/icon.svg")),
    ("main.js", SCRIPT, include_str!("page/main.js")),
    ("bench.js", SCRIPT, include_str!("page/bench.js")),
    ("dialogs.js", SCRIPT, include_str!("page/dialogs.js")),
    ("fields.js", SCRIPT, include_str!("page/fields.js")),
    ("keys.js", SCRIPT, include_str!("page/keys.js")),
    ("net.js", SCRIPT, include_str!("page/net.js")),
    ("player.js", SCRIPT, include_str!("page/player.js")),
    ("rows.js", SCRIPT, include_str!("page/rows.js")),
    ("state.js", SCRIPT, include_str!("page/state.js")),
    ("stick.js", SCRIPT, include_str!("page/stick.js")),
    ("words.js", SCRIPT, include_str!("page/words.js")),
];
const HTML: &str = "text/html; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

/// How many connections are answered at a time.
const AT_ONCE: usize = 32;
/// How long a request may take to arrive.
const READ_WITHIN: Duration = Duration::from_secs(10);
/// How long an answer may stand unread: a paused player reads on only when it needs more.
const WRITE_WITHIN: Duration = Duration::from_secs(120);

/// Why the server could not start.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// No port.
    #[error("cannot open a port on 127.0.0.1; close other programs that serve, and try again")]
    Port(#[source] io::Error),
    /// No key.
    #[error("the system gives no random numbers for the address's key")]
    Key(#[from] getrandom::Error),
}

/// A server over one list.
pub struct Server {
    listener: TcpListener,
    at: SocketAddr,
    shop: Arc<Shop>,
    stopped: Arc<AtomicBool>,
}

/// What every connection needs.
struct Shop {
    guard: Guard,
    desk: Mutex<Box<dyn Desk>>,
    choices: Value,
    media: Vec<Media>,
    busy: AtomicUsize,
}

/// Ends a server from another thread.
#[derive(Debug, Clone)]
pub struct Stop {
    at: SocketAddr,
    stopped: Arc<AtomicBool>,
}

impl Stop {
    /// Ends [`Server::run`]; a change that is being saved is finished first.
    pub fn stop(&self) {
        self.stopped.store(true, Ordering::SeqCst);
        // Wakes the thread that waits for somebody to ask.
        let _ = TcpStream::connect_timeout(&self.at, Duration::from_secs(1));
    }
}

impl Server {
    /// A server on a free port of 127.0.0.1, with a fresh key. `choices` are the words to choose from
    /// ([`super::choices`]), `media` the recordings of the list's walks.
    ///
    /// # Errors
    /// Where no port is free or the system has no random numbers.
    pub fn bind(
        desk: Box<dyn Desk>,
        choices: Value,
        media: Vec<Media>,
    ) -> Result<Server, ServeError> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).map_err(ServeError::Port)?;
        let at = listener.local_addr().map_err(ServeError::Port)?;
        let guard = Guard::new(at.port())?;
        Ok(Server {
            listener,
            at,
            shop: Arc::new(Shop {
                guard,
                desk: Mutex::new(desk),
                choices,
                media,
                busy: AtomicUsize::new(0),
            }),
            stopped: Arc::new(AtomicBool::new(false)),
        })
    }

    /// The page's address, key included: whoever has it can read and change the list.
    pub fn address(&self) -> String {
        format!("http://{}{}", self.at, self.shop.guard.path())
    }

    /// A handle with which another thread ends the server.
    pub fn stopper(&self) -> Stop {
        Stop {
            at: self.at,
            stopped: Arc::clone(&self.stopped),
        }
    }

    /// Answers until it is stopped. Every change is saved when this returns.
    pub fn run(&self) {
        for stream in self.listener.incoming() {
            if self.stopped.load(Ordering::SeqCst) {
                break;
            }
            // One connection that broke while it was being made is no reason to end.
            let Ok(stream) = stream else { continue };
            let shop = Arc::clone(&self.shop);
            if shop.busy.fetch_add(1, Ordering::SeqCst) >= AT_ONCE {
                let _ = Shop::say(&stream, Response::text(503, "busy; ask again"), false);
                shop.busy.fetch_sub(1, Ordering::SeqCst);
                continue;
            }
            thread::spawn(move || {
                // The browser may close at any time; it is not to be told so.
                let _ = shop.serve(&stream);
                shop.busy.fetch_sub(1, Ordering::SeqCst);
            });
        }
        // Whoever holds the desk is saving.
        drop(
            self.shop
                .desk
                .lock()
                .unwrap_or_else(PoisonError::into_inner),
        );
    }
}

impl Shop {
    fn serve(&self, stream: &TcpStream) -> io::Result<()> {
        stream.set_read_timeout(Some(READ_WITHIN))?;
        stream.set_write_timeout(Some(WRITE_WITHIN))?;
        let (answer, head_only) = match Request::read(&mut &*stream)? {
            Ok(None) => return Ok(()),
            Ok(Some(request)) => (self.answer(&request), request.method == "HEAD"),
            Err(refusal) => (refusal, false),
        };
        Shop::say(stream, answer, head_only)
    }

    fn say(stream: &TcpStream, answer: Response, head_only: bool) -> io::Result<()> {
        let mut out = BufWriter::new(stream);
        Guard::seal(answer).write(&mut out, head_only)?;
        out.flush()?;
        stream.shutdown(Shutdown::Write)
    }

    fn answer(&self, request: &Request) -> Response {
        let asked = match self.guard.admit(request) {
            Ok(asked) => asked,
            Err(refusal) => return refusal,
        };
        let reading = matches!(request.method.as_str(), "GET" | "HEAD");
        if let Some((_, kind, text)) = PAGE.iter().find(|(name, _, _)| *name == asked) {
            return if reading {
                Response::new(200, kind, *text)
            } else {
                wrong_method("GET, HEAD")
            };
        }
        let recording = asked
            .strip_prefix("media/")
            .and_then(|walk| self.media.iter().find(|m| m.walk == walk));
        match (asked, recording) {
            (_, Some(media)) if reading => media::send(media, request),
            ("api/list", _) if reading => self.desk(|desk| self.view(desk)),
            ("api/revision", _) if reading => {
                self.desk(|desk| Ok(json!({"revision": desk.revision()?})))
            }
            ("api/choices", _) if reading => Response::json(200, &self.choices),
            ("api/change", _) if request.method == "POST" => self.change(request),
            ("api/change", _) => wrong_method("POST"),
            ("api/list" | "api/revision" | "api/choices", _) | (_, Some(_)) => {
                wrong_method("GET, HEAD")
            }
            _ => Response::text(404, "there is no such thing here"),
        }
    }

    fn view(&self, desk: &mut dyn Desk) -> Result<Value, DeskError> {
        let mut view = desk.view()?;
        view["media"] = self
            .media
            .iter()
            .map(|m| {
                let kind = if m.is_picture() { "picture" } else { "sound" };
                (m.walk.clone(), json!(kind))
            })
            .collect();
        Ok(view)
    }

    fn change(&self, request: &Request) -> Response {
        let is_json = request
            .only("content-type")
            .is_some_and(|t| t.split(';').next().unwrap_or_default().trim() == "application/json");
        if !is_json {
            return Response::text(415, "a change is sent as application/json");
        }
        let change = match Change::from_json(&request.body) {
            Ok(change) => change,
            Err(error) => {
                return Response::json(
                    400,
                    &json!({"error": format!("this is no change: {error}")}),
                );
            }
        };
        self.desk(|desk| {
            let done = desk.change(change)?;
            Ok(json!({
                "made": done.made,
                "touched": done.touched,
                "said": done.said,
                // It is saved, even where somebody broke the file in this moment.
                "view": self.view(desk).ok(),
            }))
        })
    }

    /// One at a time: a change sees the list as the one before it left it.
    fn desk(&self, ask: impl FnOnce(&mut dyn Desk) -> Result<Value, DeskError>) -> Response {
        let mut desk = self.desk.lock().unwrap_or_else(PoisonError::into_inner);
        match ask(desk.as_mut()) {
            Ok(value) => Response::json(200, &value),
            Err(error) => {
                let status = match error {
                    DeskError::Unfit(_) => 422,
                    DeskError::File(_) => 500,
                };
                Response::json(status, &json!({"error": error.to_string()}))
            }
        }
    }
}

fn wrong_method(allowed: &str) -> Response {
    Response::text(405, &format!("only {allowed} here")).with("Allow", allowed)
}
