//! Who may ask: this machine's own page, with the key that was handed out, and nobody else.

use super::http::{Request, Response};

/// What is sent with every answer: the page loads only its own files, nothing may frame it or read it from elsewhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; \
media-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; \
require-trusted-types-for 'script'; trusted-types 'none'";

/// What a request must bring.
#[derive(Debug, Clone)]
pub(super) struct Guard {
    key: String,
    hosts: Vec<String>,
}

impl Guard {
    /// A guard with a fresh key, for a server on this port of the loopback address.
    pub(super) fn new(port: u16) -> Result<Guard, getrandom::Error> {
        let mut bytes = [0; 16];
        getrandom::fill(&mut bytes)?;
        let key = bytes.iter().map(|b| format!("{b:02x}")).collect();
        // A browser leaves out a port that is the protocol's own.
        let names = ["127.0.0.1", "localhost"];
        let hosts = names.iter().map(|n| format!("{n}:{port}"));
        let plain = names.iter().filter(|_| port == 80).map(|n| n.to_string());
        Ok(Guard {
            key,
            hosts: hosts.chain(plain).collect(),
        })
    }

    /// The path under which everything lies: `/KEY/`.
    pub(super) fn path(&self) -> String {
        format!("/{}/", self.key)
    }

    /// What is asked for under the key's path, or why it is refused.
    ///
    /// Host is checked against a name that was made to point at this machine, Origin and Sec-Fetch-Site against other
    /// pages in the same browser, the key against other programs.
    pub(super) fn admit<'r>(&self, request: &'r Request) -> Result<&'r str, Response> {
        let host = request
            .only("host")
            .filter(|h| self.hosts.iter().any(|own| own.eq_ignore_ascii_case(h)))
            .ok_or_else(|| {
                Response::text(
                    403,
                    "this server answers to 127.0.0.1 and localhost alone; use the address that storystick review printed",
                )
            })?;
        let own = format!("http://{host}");
        let foreign = request
            .all("origin")
            .iter()
            .any(|o| !o.eq_ignore_ascii_case(&own))
            || request
                .all("sec-fetch-site")
                .iter()
                .any(|s| !matches!(*s, "same-origin" | "none"));
        if foreign {
            return Err(Response::text(
                403,
                "another page may not read or write here",
            ));
        }
        // Whoever changes something must say where from: a browser always does.
        if request.method != "GET" && request.method != "HEAD" && request.only("origin").is_none() {
            return Err(Response::text(403, "a change needs its Origin"));
        }
        let path = request.target.split('?').next().unwrap_or_default();
        let asked = path
            .strip_prefix('/')
            .and_then(|rest| rest.split_once('/'))
            .filter(|(key, _)| same(key.as_bytes(), self.key.as_bytes()));
        match asked {
            Some((_, rest)) => Ok(rest),
            None => Err(Response::text(
                403,
                "the key in the address is missing or another; use the address that storystick review printed",
            )),
        }
    }

    /// Adds what goes with every answer.
    pub(super) fn seal(response: Response) -> Response {
        response
            .with("Content-Security-Policy", POLICY)
            .with("Cross-Origin-Resource-Policy", "same-origin")
            .with("Cross-Origin-Opener-Policy", "same-origin")
            .with("Referrer-Policy", "no-referrer")
            .with("X-Content-Type-Options", "nosniff")
            .with("Cache-Control", "no-store")
    }
}

/// Compares in a time that does not tell how much of the key was right.
fn same(a: &[u8], b: &[u8]) -> bool {
    a.len() == b.len() && a.iter().zip(b).fold(0, |all, (a, b)| all | (a ^ b)) == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_differ() {
        let (a, b) = (Guard::new(7).unwrap(), Guard::new(7).unwrap());
        assert_eq!(a.key.len(), 32);
        assert_ne!(a.key, b.key);
        assert!(!same(a.key.as_bytes(), b.key.as_bytes()));
        assert!(!same(&a.key.as_bytes()[..31], a.key.as_bytes()));
        assert!(same(a.key.as_bytes(), a.key.as_bytes()));
    }
}
