//! As much of HTTP/1.1 as a page on this machine needs: one request a connection, no transfer codings.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};

/// The longest head of a request that is read, in bytes.
const HEAD: usize = 16 * 1024;
/// The longest body that is read, in bytes.
const BODY: usize = 1024 * 1024;
/// The most header fields of a request.
const FIELDS: usize = 64;

/// A request as it came.
#[derive(Debug)]
pub(super) struct Request {
    pub(super) method: String,
    /// The path and query, not decoded.
    pub(super) target: String,
    fields: Vec<(String, String)>,
    pub(super) body: Vec<u8>,
}

impl Request {
    /// Reads one request. `Ok(None)` where the other side closed without asking anything.
    pub(super) fn read(from: &mut impl Read) -> io::Result<Result<Option<Request>, Response>> {
        let mut bytes = Vec::new();
        let mut piece = [0; 4096];
        loop {
            let n = from.read(&mut piece)?;
            if n == 0 && bytes.is_empty() {
                return Ok(Ok(None));
            }
            if n == 0 {
                return Ok(Err(Response::text(400, "the request ends in its middle")));
            }
            bytes.extend_from_slice(&piece[..n]);
            match Request::head(&bytes) {
                Err(refusal) => return Ok(Err(refusal)),
                Ok(None) if bytes.len() > HEAD => {
                    return Ok(Err(Response::text(431, "the request's head is too long")));
                }
                Ok(None) => {}
                Ok(Some((mut request, head))) => {
                    let body = match request.body_length() {
                        Ok(length) => length,
                        Err(refusal) => return Ok(Err(refusal)),
                    };
                    request.body = bytes.split_off(head);
                    while request.body.len() < body {
                        let n = from.read(&mut piece)?;
                        if n == 0 {
                            return Ok(Err(Response::text(400, "the request ends in its middle")));
                        }
                        request.body.extend_from_slice(&piece[..n]);
                    }
                    request.body.truncate(body);
                    return Ok(Ok(Some(request)));
                }
            }
        }
    }

    /// The head and its length, once it is whole.
    fn head(bytes: &[u8]) -> Result<Option<(Request, usize)>, Response> {
        let mut fields = [httparse::EMPTY_HEADER; FIELDS];
        let mut parsed = httparse::Request::new(&mut fields);
        let bad = |_| Response::text(400, "this is no request that HTTP knows");
        let httparse::Status::Complete(length) = parsed.parse(bytes).map_err(bad)? else {
            return Ok(None);
        };
        let fields = parsed
            .headers
            .iter()
            .map(|h| {
                (
                    h.name.to_ascii_lowercase(),
                    String::from_utf8_lossy(h.value).into_owned(),
                )
            })
            .collect();
        let request = Request {
            method: parsed.method.unwrap_or_default().to_string(),
            target: parsed.path.unwrap_or_default().to_string(),
            fields,
            body: Vec::new(),
        };
        Ok(Some((request, length)))
    }

    fn body_length(&self) -> Result<usize, Response> {
        if !self.all("transfer-encoding").is_empty() {
            return Err(Response::text(
                411,
                "a body needs its length in Content-Length",
            ));
        }
        match self.all("content-length")[..] {
            [] => Ok(0),
            [length] => match length.parse() {
                Ok(length) if length <= BODY => Ok(length),
                Ok(_) => Err(Response::text(413, "the body is too long")),
                Err(_) => Err(Response::text(400, "Content-Length is no number")),
            },
            _ => Err(Response::text(400, "Content-Length stands twice")),
        }
    }

    /// All values of a header field; its name in lower case.
    pub(super) fn all(&self, name: &str) -> Vec<&str> {
        self.fields
            .iter()
            .filter(|(n, _)| n == name)
            .map(|(_, v)| v.as_str())
            .collect()
    }

    /// The value of a header field that stands once.
    pub(super) fn only(&self, name: &str) -> Option<&str> {
        match self.all(name)[..] {
            [value] => Some(value),
            _ => None,
        }
    }
}

/// What is sent after the head.
#[derive(Debug)]
enum Body {
    Bytes(Vec<u8>),
    /// A part of a file: where it begins and how long it is.
    Part(File, u64, u64),
}

/// An answer.
#[derive(Debug)]
pub(super) struct Response {
    pub(super) status: u16,
    fields: Vec<(&'static str, String)>,
    body: Body,
}

impl Response {
    /// An answer of this media type.
    pub(super) fn new(status: u16, kind: &str, bytes: impl Into<Vec<u8>>) -> Response {
        Response {
            status,
            fields: vec![("Content-Type", kind.to_string())],
            body: Body::Bytes(bytes.into()),
        }
    }

    /// A line of plain text.
    pub(super) fn text(status: u16, text: &str) -> Response {
        Response::new(status, "text/plain; charset=utf-8", format!("{text}\n"))
    }

    /// A JSON document.
    pub(super) fn json(status: u16, value: &serde_json::Value) -> Response {
        Response::new(status, "application/json", value.to_string())
    }

    /// A part of a file.
    pub(super) fn part(status: u16, kind: &str, file: File, start: u64, length: u64) -> Response {
        Response {
            status,
            fields: vec![("Content-Type", kind.to_string())],
            body: Body::Part(file, start, length),
        }
    }

    /// Adds a header field.
    pub(super) fn with(mut self, name: &'static str, value: impl Into<String>) -> Response {
        self.fields.push((name, value.into()));
        self
    }

    /// Writes the answer; of one to HEAD the head alone.
    pub(super) fn write(self, to: &mut impl Write, head_only: bool) -> io::Result<()> {
        let length = match &self.body {
            Body::Bytes(bytes) => bytes.len() as u64,
            Body::Part(_, _, length) => *length,
        };
        let mut head = format!(
            "HTTP/1.1 {} {}\r\nContent-Length: {length}\r\nConnection: close\r\n",
            self.status,
            reason(self.status)
        );
        for (name, value) in &self.fields {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
        head.push_str("\r\n");
        to.write_all(head.as_bytes())?;
        if !head_only {
            match self.body {
                Body::Bytes(bytes) => to.write_all(&bytes)?,
                Body::Part(mut file, start, length) => {
                    file.seek(SeekFrom::Start(start))?;
                    io::copy(&mut file.take(length), to)?;
                }
            }
        }
        to.flush()
    }
}

fn reason(status: u16) -> &'static str {
    match status {
        200 => "OK",
        206 => "Partial Content",
        400 => "Bad Request",
        403 => "Forbidden",
        404 => "Not Found",
        405 => "Method Not Allowed",
        409 => "Conflict",
        411 => "Length Required",
        413 => "Content Too Large",
        415 => "Unsupported Media Type",
        416 => "Range Not Satisfiable",
        422 => "Unprocessable Content",
        431 => "Request Header Fields Too Large",
        503 => "Service Unavailable",
        _ => "Internal Server Error",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Option<Request>, Response> {
        Request::read(&mut text.as_bytes()).unwrap()
    }

    #[test]
    fn reads_a_request_with_its_body() {
        let request = read("POST /k/api HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\n\r\n{}more")
            .unwrap()
            .unwrap();
        assert_eq!(
            (request.method.as_str(), request.target.as_str()),
            ("POST", "/k/api")
        );
        assert_eq!(
            (request.only("host"), &request.body[..]),
            (Some("x"), &b"{}"[..])
        );
    }

    #[test]
    fn a_field_that_stands_twice_is_none() {
        let request = read("GET / HTTP/1.1\r\nHost: a\r\nhost: b\r\n\r\n")
            .unwrap()
            .unwrap();
        assert_eq!(request.only("host"), None);
    }

    #[test]
    fn refuses_what_is_too_long_or_broken() {
        let status = |text: &str| read(text).unwrap_err().status;
        assert_eq!(status("nonsense\r\n\r\n"), 400);
        assert_eq!(status("GET / HTTP/1.1\r\nHost: a"), 400);
        assert_eq!(
            status(&format!("GET / HTTP/1.1\r\nA: {}", "a".repeat(HEAD))),
            431
        );
        assert_eq!(
            status("POST / HTTP/1.1\r\nContent-Length: 99999999\r\n\r\n"),
            413
        );
        assert_eq!(
            status("POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\n"),
            411
        );
        assert_eq!(
            status("POST / HTTP/1.1\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\n"),
            400
        );
    }
}
