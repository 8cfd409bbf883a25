//! The review's server as another program meets it: raw requests over TCP, and what it refuses.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

/// A review that runs until the test ends.
struct Review {
    child: Child,
    /// `127.0.0.1:PORT`
    host: String,
    /// `/KEY/`
    path: String,
    folder: tempfile::TempDir,
}

/// An answer: status, head in lower case, body.
struct Answer(u16, String, Vec<u8>);

impl Answer {
    fn text(&self) -> String {
        String::from_utf8_lossy(&self.2).into_owned()
    }

    fn json(&self) -> Value {
        serde_json::from_slice(&self.2).unwrap()
    }
}

impl Review {
    fn start() -> Review {
        let folder = tempfile::tempdir().unwrap();
        let said = json!([{"walk": "w1", "start": 3.0, "end": 4.5, "text": "the sill is chipped"}]);
        let list = json!({
            "schema": "storystick/list/1",
            "walks": [{"id": "w1", "file": "a.vtt", "format": "webvtt", "sha256": "0", "seconds": 20.0, "words": 30}],
            "areas": [{"id": "a1", "path": ["Kitchen"], "state": "outstanding", "visits": [{"walk": "w1", "start": 0.0, "end": 20.0}]}],
            "items": [{"id": "k4t7", "number": 1, "area": ["Kitchen"], "element": "sill", "fault": "chip", "work": "touch-up",
                "trade": "painter", "standing": "outstanding", "text": "Touch up sill: chip", "confidence": 0.4, "said": said}],
        });
        fs::write(folder.path().join("list.json"), list.to_string()).unwrap();
        let sound: Vec<u8> = (0..=255).cycle().take(1000).collect();
        fs::write(folder.path().join("walk.wav"), sound).unwrap();
        fs::write(folder.path().join("secret.txt"), "not for the page").unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_storystick"))
            .args(["review", "list.json", "--media", "walk.wav", "--no-open"])
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let address = line.trim().strip_prefix("http://").unwrap();
        let (host, path) = address.split_at(address.find('/').unwrap());
        Review {
            host: host.to_string(),
            path: path.to_string(),
            child,
            folder,
        }
    }

    fn file(&self) -> Value {
        serde_json::from_slice(&fs::read(self.folder.path().join("list.json")).unwrap()).unwrap()
    }

    /// Sends these bytes and reads until the server closes.
    fn raw(&self, request: &str) -> Answer {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(20)))
            .unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut all = Vec::new();
        stream.read_to_end(&mut all).unwrap();
        let end = all
            .windows(4)
            .position(|w| w == b"\r\n\r\n")
            .expect("a head");
        let head = String::from_utf8(all[..end].to_vec()).unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        Answer(status, head.to_lowercase(), all[end + 4..].to_vec())
    }

    fn get(&self, path: &str, fields: &str) -> Answer {
        self.raw(&format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\n{fields}\r\n",
            self.host
        ))
    }

    /// GET under the key's path.
    fn own(&self, name: &str, fields: &str) -> Answer {
        self.get(&format!("{}{name}", self.path), fields)
    }

    fn post(&self, fields: &str, body: &str) -> Answer {
        self.raw(&format!(
            "POST {}api/change HTTP/1.1\r\nHost: {}\r\nContent-Length: {}\r\n{fields}\r\n{body}",
            self.path,
            self.host,
            body.len()
        ))
    }
}

impl Drop for Review {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

const JSON: &str = "Content-Type: application/json\r\n";
const DROP: &str = r#"{"op": "drop", "id": "k4t7"}"#;

#[test]
fn serves_its_page_and_the_list() {
    let review = Review::start();
    assert!(review.host.starts_with("127.0.0.1:"), "{}", review.host);
    assert_eq!(review.path.len(), 34);
    let page = review.own("", "");
    assert_eq!(page.0, 200);
    assert!(page.text().contains("<!doctype html>"));
    let list = review.own("api/list", "");
    assert_eq!(list.0, 200);
    assert_eq!(list.json()["items"][0]["id"], "k4t7");
    assert_eq!(list.json()["media"]["w1"], "sound");
    let choices = review.own("api/choices", "").json();
    assert!(
        choices["works"]
            .as_array()
            .unwrap()
            .contains(&json!("touch-up"))
    );
    assert_eq!(
        review.own("api/revision", "").json()["revision"],
        list.json()["revision"]
    );
}

#[test]
fn every_file_that_the_page_names_is_there() {
    let review = Review::start();
    let mut waiting = vec![String::new()];
    let mut seen: Vec<String> = Vec::new();
    while let Some(name) = waiting.pop() {
        let answer = review.own(&name, "");
        assert_eq!(answer.0, 200, "{name}");
        for part in answer.text().split('"') {
            let part = part.trim_start_matches("./").to_string();
            let is_file = [".js", ".css", ".svg"].iter().any(|e| part.ends_with(e));
            if is_file && !part.contains(' ') && !seen.contains(&part) {
                seen.push(part.clone());
                waiting.push(part);
            }
        }
    }
    assert!(seen.len() > 8, "{seen:?}");
}

#[test]
fn a_strict_policy_goes_with_every_answer() {
    let review = Review::start();
    for answer in [
        review.own("", ""),
        review.own("api/list", ""),
        review.own("media/w1", ""),
        review.get("/", ""),
    ] {
        let head = &answer.1;
        assert!(
            head.contains("content-security-policy: default-src 'none'; script-src 'self'"),
            "{head}"
        );
        assert!(!head.contains("unsafe") && !head.contains("access-control"));
        assert!(head.contains("cache-control: no-store") && head.contains("nosniff"));
        assert!(
            head.contains("referrer-policy: no-referrer")
                && head.contains("frame-ancestors 'none'")
        );
    }
}

#[test]
fn a_foreign_host_is_refused() {
    let review = Review::start();
    let port = review.host.rsplit(':').next().unwrap();
    for host in [
        "evil.example",
        "127.0.0.1",
        "127.0.0.1:1",
        "127.0.0.1.evil.example",
        &format!("evil.example:{port}"),
    ] {
        let answer = review.raw(&format!(
            "GET {}api/list HTTP/1.1\r\nHost: {host}\r\n\r\n",
            review.path
        ));
        assert_eq!(answer.0, 403, "{host}");
        assert!(!answer.text().contains("k4t7"));
    }
    let without = review.raw(&format!("GET {}api/list HTTP/1.1\r\n\r\n", review.path));
    assert_eq!(without.0, 403);
    let twice = review.raw(&format!(
        "GET {}api/list HTTP/1.1\r\nHost: {}\r\nHost: evil.example\r\n\r\n",
        review.path, review.host
    ));
    assert_eq!(twice.0, 403);
    let by_name = review.raw(&format!(
        "GET {}api/list HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n",
        review.path
    ));
    assert_eq!(by_name.0, 200);
}

#[test]
fn a_missing_or_wrong_key_is_refused() {
    let review = Review::start();
    let mut wrong = review.path.clone();
    let last = wrong.pop().and(wrong.pop()).unwrap();
    wrong.push(if last == '0' { '1' } else { '0' });
    let upper = review.path.trim_end_matches('/');
    for path in [
        "/",
        "/api/list",
        "//api/list",
        &format!("{wrong}/api/list"),
        &format!("{}/api/list", &upper[..upper.len() - 1]),
        &format!("{upper}0/api/list"),
        &format!("http://{}{upper}", review.host),
    ] {
        let answer = review.get(path, "");
        assert_eq!(answer.0, 403, "{path}");
        assert!(!answer.text().contains("k4t7"));
    }
}

#[test]
fn no_path_but_its_own() {
    let review = Review::start();
    for name in [
        "../secret.txt",
        "../../etc/passwd",
        "..%2fsecret.txt",
        "%2e%2e/secret.txt",
        "..\\secret.txt",
        "media/../secret.txt",
        "media/../../secret.txt",
        "media/w1/../../secret.txt",
        "media/secret.txt",
        "media/w2",
        "media/",
        "secret.txt",
        "list.json",
        "page/page.css",
        "./page.css",
        "page.css/",
    ] {
        let answer = review.own(name, "");
        assert!(matches!(answer.0, 404 | 403), "{name}: {}", answer.0);
        assert!(!answer.text().contains("not for the page"), "{name}");
    }
    let above = review.get(&format!("/x/..{}api/list", review.path), "");
    assert_eq!(above.0, 403);
}

#[test]
fn a_foreign_origin_neither_reads_nor_writes() {
    let review = Review::start();
    let before = review.file();
    for fields in [
        "Origin: http://evil.example\r\n",
        "Origin: null\r\n",
        "Origin: http://127.0.0.1\r\n",
        "Sec-Fetch-Site: cross-site\r\n",
        "Sec-Fetch-Site: same-site\r\n",
    ] {
        assert_eq!(review.own("api/list", fields).0, 403, "{fields}");
        assert_eq!(review.own("media/w1", fields).0, 403, "{fields}");
        assert_eq!(
            review.post(&format!("{JSON}{fields}"), DROP).0,
            403,
            "{fields}"
        );
    }
    // A form of another page sends no JSON, and a change says where it comes from.
    let own = format!("Origin: http://{}\r\n", review.host);
    assert_eq!(review.post(JSON, DROP).0, 403);
    assert_eq!(
        review
            .post(&format!("Content-Type: text/plain\r\n{own}"), DROP)
            .0,
        415
    );
    assert_eq!(review.own("api/change", "").0, 405);
    assert_eq!(review.file(), before);
    assert_eq!(review.own("api/list", &own).0, 200);
}

#[test]
fn ranges_of_the_recording() {
    let review = Review::start();
    let whole = review.own("media/w1", "");
    assert_eq!((whole.0, whole.2.len()), (200, 1000));
    assert!(
        whole.1.contains("accept-ranges: bytes") && whole.1.contains("content-type: audio/wav")
    );
    let part = review.own("media/w1", "Range: bytes=10-19\r\n");
    assert_eq!((part.0, &part.2[..]), (206, &whole.2[10..20]));
    assert!(
        part.1.contains("content-range: bytes 10-19/1000"),
        "{}",
        part.1
    );
    let tail = review.own("media/w1", "Range: bytes=990-\r\n");
    assert_eq!((tail.0, &tail.2[..]), (206, &whole.2[990..]));
    let last = review.own("media/w1", "Range: bytes=-5\r\n");
    assert_eq!((last.0, &last.2[..]), (206, &whole.2[995..]));
    let outside = review.own("media/w1", "Range: bytes=1000-\r\n");
    assert_eq!(outside.0, 416);
    assert!(outside.1.contains("content-range: bytes */1000"));
    let head = review.raw(&format!(
        "HEAD {}media/w1 HTTP/1.1\r\nHost: {}\r\n\r\n",
        review.path, review.host
    ));
    assert_eq!((head.0, head.2.len()), (200, 0));
    assert!(head.1.contains("content-length: 1000"));
    fs::remove_file(review.folder.path().join("walk.wav")).unwrap();
    assert_eq!(review.own("media/w1", "").0, 404);
}

#[test]
fn what_is_no_request_is_answered_as_such() {
    let review = Review::start();
    assert_eq!(review.raw("hello\r\n\r\n").0, 400);
    let own = format!("{JSON}Origin: http://{}\r\n", review.host);
    assert_eq!(review.post(&own, "{").0, 400);
    assert_eq!(review.post(&own, r#"{"op": "burn", "id": "k4t7"}"#).0, 400);
    let unfit = review.post(&own, r#"{"op": "drop", "id": "nobody"}"#);
    assert_eq!(unfit.0, 422, "{}", unfit.text());
    assert!(unfit.json()["error"].as_str().unwrap().contains("nobody"));
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_it_well() {
    let mut review = Review::start();
    // A connection that asks nothing holds nothing up.
    let _idle = TcpStream::connect(&review.host).unwrap();
    let sent = Command::new("kill")
        .args(["-INT", &review.child.id().to_string()])
        .status()
        .unwrap();
    assert!(sent.success());
    let until = Instant::now() + Duration::from_secs(10);
    let code = loop {
        match review.child.try_wait().unwrap() {
            Some(status) => break status.code(),
            None if Instant::now() > until => panic!("still running"),
            None => std::thread::sleep(Duration::from_millis(20)),
        }
    };
    assert_eq!(code, Some(0));
}

#[test]
fn a_list_that_is_none_is_told() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("other.json"), "{\"a\": 1}").unwrap();
    for (name, wanted) in [("other.json", "other.json"), ("no.json", "no.json")] {
        let output = Command::new(env!("CARGO_BIN_EXE_storystick"))
            .args(["review", "--no-open", name])
            .current_dir(Path::new(folder.path()))
            .output()
            .unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{err}");
        assert!(output.stdout.is_empty());
        assert!(err.starts_with("error: ") && err.contains(wanted), "{err}");
    }
}
