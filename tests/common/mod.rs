//! What several tests need.

use std::path::{Path, PathBuf};

/// The folder of outside material beside the repository, where it is there.
///
/// Without it the test says so and passes; on the build machine (`CI=true`) it fails, as nothing would be tested.
#[allow(dead_code)]
pub fn shared() -> Option<PathBuf> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared");
    if path.is_dir() {
        return Some(path);
    }
    let ci = std::env::var("CI").is_ok_and(|v| v == "true");
    assert!(
        !ci,
        "no ../shared, and CI=true: the outside material must be there"
    );
    println!("skipped: no ../shared");
    None
}
