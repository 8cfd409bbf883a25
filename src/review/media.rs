//! The recordings that belong to the list's walks, sent in the ranges that a player asks for.

use std::fs::File;
use std::path::{Path, PathBuf};

use super::http::{Request, Response};

/// One walk's recording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Media {
    /// The walk's id.
    pub walk: String,
    /// The file.
    pub path: PathBuf,
}

impl Media {
    /// Whether there is a picture as well as sound, by the file's ending.
    pub(super) fn is_picture(&self) -> bool {
        kind(&self.path).starts_with("video/")
    }
}

/// The media type by the ending. A player looks at the bytes anyway; what is unknown is offered as sound.
fn kind(path: &Path) -> &'static str {
    let ending = path
        .extension()
        .map(|e| e.to_string_lossy().to_ascii_lowercase());
    match ending.as_deref().unwrap_or_default() {
        "mp4" | "m4v" => "video/mp4",
        "mov" => "video/quicktime",
        "webm" => "video/webm",
        "ogv" => "video/ogg",
        "mkv" => "video/x-matroska",
        "mp3" => "audio/mpeg",
        "m4a" => "audio/mp4",
        "aac" => "audio/aac",
        "wav" => "audio/wav",
        "flac" => "audio/flac",
        _ => "audio/ogg",
    }
}

/// Sends the file, or the range that was asked for. Several ranges in one request are answered with the whole file, as
/// HTTP allows.
pub(super) fn send(media: &Media, request: &Request) -> Response {
    let opened = File::open(&media.path).and_then(|f| f.metadata().map(|m| (f, m)));
    let (file, size) = match opened {
        Ok((file, about)) if about.is_file() => (file, about.len()),
        _ => {
            return Response::text(
                404,
                &format!(
                    "{} is no longer there; put it back or start again with another --media",
                    media.path.display()
                ),
            );
        }
    };
    let kind = kind(&media.path);
    let (response, length) = match request.only("range").map(|r| range(r, size)) {
        None | Some(Asked::Whole) => (Response::part(200, kind, file, 0, size), size),
        Some(Asked::Part(start, length)) => (
            Response::part(206, kind, file, start, length).with(
                "Content-Range",
                format!("bytes {start}-{}/{size}", start + length - 1),
            ),
            length,
        ),
        Some(Asked::Outside) => {
            return Response::text(416, "the recording ends before that")
                .with("Content-Range", format!("bytes */{size}"));
        }
    };
    debug_assert!(length <= size);
    response.with("Accept-Ranges", "bytes")
}

/// What a Range field comes to.
#[derive(Debug, PartialEq, Eq)]
enum Asked {
    Whole,
    /// Where it begins, and how many bytes.
    Part(u64, u64),
    Outside,
}

fn range(field: &str, size: u64) -> Asked {
    let Some(spec) = field.trim().strip_prefix("bytes=") else {
        return Asked::Whole;
    };
    let Some((first, last)) = spec.trim().split_once('-') else {
        return Asked::Whole;
    };
    match (first.parse::<u64>(), last.parse::<u64>()) {
        (Ok(first), _) if first >= size && (last.is_empty() || last.parse::<u64>().is_ok()) => {
            Asked::Outside
        }
        (Ok(first), Ok(last)) if last >= first => {
            Asked::Part(first, last.min(size - 1) - first + 1)
        }
        (Ok(first), Err(_)) if last.is_empty() => Asked::Part(first, size - first),
        (Err(_), Ok(0)) if first.is_empty() => Asked::Outside,
        (Err(_), Ok(tail)) if first.is_empty() && size > 0 => {
            let tail = tail.min(size);
            Asked::Part(size - tail, tail)
        }
        (Err(_), Ok(_)) if first.is_empty() => Asked::Outside,
        _ => Asked::Whole,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges() {
        for (field, size, wanted) in [
            ("bytes=0-3", 10, Asked::Part(0, 4)),
            ("bytes=4-", 10, Asked::Part(4, 6)),
            ("bytes=8-99", 10, Asked::Part(8, 2)),
            ("bytes=-3", 10, Asked::Part(7, 3)),
            ("bytes=-30", 10, Asked::Part(0, 10)),
            ("bytes=10-", 10, Asked::Outside),
            ("bytes=12-14", 10, Asked::Outside),
            ("bytes=-0", 10, Asked::Outside),
            ("bytes=0-", 0, Asked::Outside),
            ("bytes=-4", 0, Asked::Outside),
            ("bytes=5-3", 10, Asked::Whole),
            ("bytes=0-1,4-5", 10, Asked::Whole),
            ("bytes=a-b", 10, Asked::Whole),
            ("pages=1-2", 10, Asked::Whole),
        ] {
            assert_eq!(range(field, size), wanted, "{field} of {size}");
        }
    }
}
