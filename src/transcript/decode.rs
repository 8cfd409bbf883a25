//! From bytes to text: byte order marks, UTF-16, invalid UTF-8, and files that are no text at all.

use std::borrow::Cow;

use super::error::TranscriptError;
use super::text::line_of_bytes;

/// A file's text, and where bytes had to be replaced to read it.
#[derive(Debug)]
pub(crate) struct Decoded<'a> {
    /// The text without its byte order mark.
    pub text: Cow<'a, str>,
    /// Offsets in `text` of replacement characters that stand for bad bytes.
    pub replaced: Vec<usize>,
}

/// Decodes a file. With `lossy`, bad bytes become U+FFFD; without, they are an error that says where.
pub(crate) fn decode<'a>(
    bytes: &'a [u8],
    file: &str,
    lossy: bool,
) -> Result<Decoded<'a>, TranscriptError> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(TranscriptError::Empty {
            file: file.to_owned(),
        });
    }
    if let Some(looks) = magic(bytes) {
        let looks = format!("this looks like {looks}");
        return Err(TranscriptError::Binary {
            file: file.to_owned(),
            looks,
            byte: 0,
        });
    }
    if let Some(rest) = bytes.strip_prefix(b"\xFF\xFE") {
        return wide(rest, u16::from_le_bytes, file, lossy);
    }
    if let Some(rest) = bytes.strip_prefix(b"\xFE\xFF") {
        return wide(rest, u16::from_be_bytes, file, lossy);
    }
    let (body, mark) = match bytes.strip_prefix(b"\xEF\xBB\xBF") {
        Some(rest) => (rest, 3),
        None => (bytes, 0),
    };
    if body.iter().all(u8::is_ascii_whitespace) {
        return Err(TranscriptError::Empty {
            file: file.to_owned(),
        });
    }
    // WebVTT says what becomes of a NUL; in any other file it is the mark of something that is no text.
    if !body.starts_with(b"WEBVTT")
        && let Some(byte) = body.iter().position(|b| *b == 0)
    {
        let head = &body[..body.len().min(1024) & !1];
        let zeros = |odd: usize| {
            head.iter()
                .skip(odd)
                .step_by(2)
                .filter(|b| **b == 0)
                .count()
                * 4
        };
        if zeros(1) > head.len() && zeros(0) == 0 {
            return wide(body, u16::from_le_bytes, file, lossy);
        }
        if zeros(0) > head.len() && zeros(1) == 0 {
            return wide(body, u16::from_be_bytes, file, lossy);
        }
        let looks = "this looks like a binary file (it holds a NUL byte)".to_owned();
        return Err(TranscriptError::Binary {
            file: file.to_owned(),
            looks,
            byte: byte + mark,
        });
    }
    match std::str::from_utf8(body) {
        Ok(text) => Ok(Decoded {
            text: Cow::Borrowed(text),
            replaced: Vec::new(),
        }),
        Err(bad) => {
            let head = &body[..body.len().min(4096)];
            let controls = head.iter().filter(|b| matches!(b, 0..=8 | 14..=31)).count();
            if controls * 20 > head.len() {
                let looks = "this looks like a binary file (it holds control bytes)".to_owned();
                let byte = head
                    .iter()
                    .position(|b| matches!(b, 0..=8 | 14..=31))
                    .unwrap_or(0)
                    + mark;
                return Err(TranscriptError::Binary {
                    file: file.to_owned(),
                    looks,
                    byte,
                });
            }
            if !lossy {
                let (byte, line) = (bad.valid_up_to(), line_of_bytes(body, bad.valid_up_to()));
                return Err(TranscriptError::Utf8 {
                    file: file.to_owned(),
                    byte: byte + mark,
                    line,
                });
            }
            let mut text = String::with_capacity(body.len());
            let mut replaced = Vec::new();
            for chunk in body.utf8_chunks() {
                text.push_str(chunk.valid());
                if !chunk.invalid().is_empty() {
                    replaced.push(text.len());
                    text.push('\u{FFFD}');
                }
            }
            Ok(Decoded {
                text: Cow::Owned(text),
                replaced,
            })
        }
    }
}

/// UTF-16 in either byte order; `body` is what follows the byte order mark.
fn wide<'a>(
    body: &[u8],
    unit: fn([u8; 2]) -> u16,
    file: &str,
    lossy: bool,
) -> Result<Decoded<'a>, TranscriptError> {
    let (pairs, rest) = body.as_chunks::<2>();
    let mut text = String::with_capacity(body.len() / 2);
    let mut replaced = Vec::new();
    for c in char::decode_utf16(pairs.iter().map(|pair| unit(*pair))) {
        if c.is_err() {
            replaced.push(text.len());
        }
        text.push(c.unwrap_or('\u{FFFD}'));
    }
    if !rest.is_empty() {
        replaced.push(text.len());
        text.push('\u{FFFD}');
    }
    if text.starts_with('\u{FEFF}') {
        text.remove(0);
    }
    if text.trim().is_empty() {
        return Err(TranscriptError::Empty {
            file: file.to_owned(),
        });
    }
    if let Some(byte) = text.find('\0').filter(|_| !text.starts_with("WEBVTT")) {
        let looks = "this looks like a binary file (it holds NUL characters)".to_owned();
        return Err(TranscriptError::Binary {
            file: file.to_owned(),
            looks,
            byte: byte * 2,
        });
    }
    match replaced.first() {
        Some(first) if !lossy => {
            let line = super::text::line_of(&text, *first);
            let byte = text[..*first].encode_utf16().count() * 2 + 2;
            Err(TranscriptError::Utf8 {
                file: file.to_owned(),
                byte,
                line,
            })
        }
        _ => Ok(Decoded {
            text: Cow::Owned(text),
            replaced,
        }),
    }
}

/// What well-known first bytes belong to.
fn magic(bytes: &[u8]) -> Option<&'static str> {
    let table: [(&[u8], &str); 17] = [
        (b"RIFF", "a recording (WAV or AVI)"),
        (b"ID3", "a recording (MP3)"),
        (b"\xFF\xFB", "a recording (MP3)"),
        (b"\xFF\xF3", "a recording (MP3)"),
        (b"\xFF\xF1", "a recording (AAC)"),
        (b"OggS", "a recording (Ogg)"),
        (b"fLaC", "a recording (FLAC)"),
        (b"FORM", "a recording (AIFF)"),
        (b"#!AMR", "a recording (AMR)"),
        (b"caff", "a recording (CAF)"),
        (b"\x1A\x45\xDF\xA3", "a recording (Matroska or WebM)"),
        (b"PK\x03\x04", "a ZIP archive or an office document"),
        (b"\x1F\x8B", "a gzip archive"),
        (b"%PDF", "a PDF"),
        (b"\x89PNG", "a picture (PNG)"),
        (b"\xFF\xD8\xFF", "a picture (JPEG)"),
        (b"{\\rtf", "a rich-text document (RTF)"),
    ];
    if bytes.len() > 12 && &bytes[4..8] == b"ftyp" {
        return Some("a recording (MP4, M4A or MOV)");
    }
    let (_, looks) = table.iter().find(|(start, _)| bytes.starts_with(start))?;
    // These four could begin a plain text; a recording of that kind has bytes that no text has.
    let wordy = matches!(&bytes[..3], b"RIF" | b"ID3" | b"FOR" | b"caf");
    let bare = !bytes
        .iter()
        .take(512)
        .any(|b| matches!(b, 0..=8 | 14..=31 | 128..));
    (!(wordy && bare)).then_some(looks)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(bytes: &[u8], lossy: bool) -> Result<String, TranscriptError> {
        decode(bytes, "f", lossy).map(|d| d.text.into_owned())
    }

    #[test]
    fn byte_order_marks_and_wide_text() {
        let le: Vec<u8> = "[0:01] né"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        let be: Vec<u8> = "[0:01] né"
            .encode_utf16()
            .flat_map(u16::to_be_bytes)
            .collect();
        assert_eq!(text(b"\xEF\xBB\xBFabc", false).unwrap(), "abc");
        assert_eq!(
            text(&[b"\xFF\xFE", &le[..]].concat(), false).unwrap(),
            "[0:01] né"
        );
        assert_eq!(
            text(&[b"\xFE\xFF", &be[..]].concat(), false).unwrap(),
            "[0:01] né"
        );
        assert_eq!(text(&le, false).unwrap(), "[0:01] né", "without a mark");
        assert_eq!(text(&be, false).unwrap(), "[0:01] né", "without a mark");
        let odd = [b"\xFF\xFE", &le[..], b"x"].concat();
        assert!(matches!(
            text(&odd, false),
            Err(TranscriptError::Utf8 { .. })
        ));
        assert_eq!(text(&odd, true).unwrap(), "[0:01] né\u{FFFD}");
    }

    #[test]
    fn bad_bytes_say_where() {
        let bytes = b"one\r\ntwo \xC3( three";
        let bad = decode(bytes, "f", false).unwrap_err();
        assert_eq!(
            bad,
            TranscriptError::Utf8 {
                file: "f".into(),
                byte: 9,
                line: 2
            }
        );
        let read = decode(bytes, "f", true).unwrap();
        assert_eq!(
            (read.text.as_ref(), &read.replaced[..]),
            ("one\r\ntwo \u{FFFD}( three", &[9][..])
        );
    }

    #[test]
    fn what_is_no_text() {
        for (bytes, looks) in [
            (&b"RIFF\x24\x00\x00\x00WAVE"[..], "WAV"),
            (b"\0\0\0\x20ftypM4A \0\0", "M4A"),
            (b"PK\x03\x04\x14\0", "ZIP"),
            (b"plain at first, then \0\0\0\0", "NUL"),
            (b"\x01\x02\x03\x04\xFF\xFE\x05", "control"),
        ] {
            let bad = text(bytes, true).unwrap_err();
            assert!(bad.to_string().contains(looks), "{bad}");
        }
        for blank in [&b""[..], b" \r\n\t", b"\xEF\xBB\xBF\n", b"\xFF\xFE"] {
            assert!(
                matches!(text(blank, false), Err(TranscriptError::Empty { .. })),
                "{blank:?}"
            );
        }
        assert!(text(b"FORMER OWNER: [0:01] hello", false).is_ok());
    }
}
