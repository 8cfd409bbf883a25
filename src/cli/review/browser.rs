//! Opening an address in the person's own browser.

use std::process::{Command, Stdio};

/// The commands that open an address, in the order tried.
#[cfg(target_os = "macos")]
const OPENERS: &[&[&str]] = &[&["open"]];
#[cfg(windows)]
const OPENERS: &[&[&str]] = &[&["rundll32", "url.dll,FileProtocolHandler"]];
#[cfg(not(any(target_os = "macos", windows)))]
const OPENERS: &[&[&str]] = &[&["xdg-open"], &["wslview"], &["gio", "open"]];

/// Whether a command that opens addresses could be started.
pub(super) fn open(address: &str) -> bool {
    OPENERS.iter().any(|opener| {
        let started = Command::new(opener[0])
            .args(&opener[1..])
            .arg(address)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        started.is_ok_and(|mut child| {
            // Nobody else waits for it.
            std::thread::spawn(move || child.wait());
            true
        })
    })
}
