//! TTML and IMSC text.

mod common;

use common::{read_clean, rows};
use storystick::transcript::{Format, ReadOptions, TranscriptError, read};

fn document(body: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<tt xmlns=\"http://www.w3.org/ns/ttml\" xmlns:ttm=\"http://www.w3.org/ns/ttml#metadata\" \
         xmlns:ttp=\"http://www.w3.org/ns/ttml#parameter\" xmlns:tts=\"http://www.w3.org/ns/ttml#styling\" xml:lang=\"en\" ttp:tickRate=\"1000\">\n\
         <head><metadata><ttm:title>no words of the walk</ttm:title><ttm:agent xml:id=\"a1\" type=\"person\"><ttm:name type=\"full\">Dave Orr</ttm:name></ttm:agent></metadata>\
         <styling><style xml:id=\"s\" tts:color=\"white\"/></styling></head>\n{body}</tt>"
    )
}

#[test]
fn paragraphs() {
    for (body, want) in [
        (
            "<body><div><p begin=\"00:00:01.500\" end=\"00:00:02.500\">The tap<br/>drips.</p>\n<p begin=\"4s\" dur=\"1250ms\">Door &amp; frame\n   stick.</p></div></body>",
            &["1.5-2.5 The tap drips.", "4-5.25 Door & frame stick."][..],
        ),
        (
            "<body><div><p begin=\"1500t\" end=\"2500t\">Ticks.</p></div></body>",
            &["1.5-2.5 Ticks."],
        ),
        (
            "<body><div><p begin=\"00:00:01:15\" end=\"60f\">Frames.</p></div></body>",
            &["1.5-2 Frames."],
        ),
        // Times count from the begin of what is around, and end with it.
        (
            "<body begin=\"10s\"><div begin=\"5s\" end=\"10s\"><p begin=\"1s\" end=\"3s\">In.</p><p begin=\"2s\" end=\"30s\">Cut.</p></div></body>",
            &["16-18 In.", "17-20 Cut."],
        ),
        (
            "<body><div timeContainer=\"seq\"><p dur=\"2s\">One.</p><p begin=\"1s\" dur=\"2s\">Two.</p></div></body>",
            &["0-2 One.", "3-5 Two."],
        ),
        (
            "<body><div><p begin=\"1s\">Open.</p><p begin=\"3s\" end=\"4s\">Shut.</p></div></body>",
            &["1-3 Open.", "3-4 Shut."],
        ),
        // Speakers, by name or by id.
        (
            "<body><div ttm:agent=\"a1\"><p begin=\"1s\" end=\"2s\">In.</p><p begin=\"2s\" end=\"3s\" ttm:agent=\"b\">Out.</p></div></body>",
            &["1-2 Dave Orr: In.", "2-3 b: Out."],
        ),
        // Timed spans: word times where the paragraph has its own, else pieces.
        (
            "<body><div><p begin=\"1s\" end=\"3s\"><span begin=\"0s\" end=\"0.5s\">The</span> <span begin=\"0.5s\" end=\"1s\">tap.</span></p></div></body>",
            &["1-3 The tap. The@1-1.5 tap.@1.5-2"],
        ),
        (
            "<body><div><p><span begin=\"1s\" end=\"2s\">The <span>tap</span> drips.</span><br/><span begin=\"3s\" end=\"4s\">Door.</span></p></div></body>",
            &["1-2 The tap drips.", "3-4 Door."],
        ),
        (
            "<body><div><p begin=\"0s\" end=\"1s\"><metadata><ttm:desc>not this</ttm:desc></metadata>This.<set tts:color=\"red\"/></p></div></body>",
            &["0-1 This."],
        ),
    ] {
        assert_eq!(read_clean(&document(body), Format::Ttml), want, "{body}");
    }
}

#[test]
fn prefixes_and_doctypes() {
    let late = format!(
        "\n \n{}",
        document("<body><div><p begin=\"1s\" end=\"2s\">Late.</p></div></body>")
    );
    assert_eq!(read_clean(&late, Format::Ttml), ["1-2 Late."]);
    let xml = "<!DOCTYPE tt>\n<t:tt xmlns:t=\"http://www.w3.org/2006/10/ttaf1\"><t:body><t:div><t:p begin=\"0:01.5\" end=\"0:02\">Tap.</t:p></t:div></t:body></t:tt>";
    assert_eq!(read_clean(xml, Format::Ttml), ["1.5-2 Tap."]);
}

#[test]
fn what_is_wrong_is_said() {
    let fails = |xml: &str| read(xml.as_bytes(), "w.ttml", &ReadOptions::default()).unwrap_err();
    let error = fails("<tt xmlns=\"http://www.w3.org/ns/ttml\">\n<body><div><p begin=\"1s\">cut");
    assert!(
        matches!(error, TranscriptError::Xml { line: 2, .. }),
        "{error}"
    );
    let error = fails("<html><body>[0:01] text</body></html>");
    assert_eq!(
        error,
        TranscriptError::XmlShape {
            file: "w.ttml".into(),
            root: "html".into()
        }
    );
    assert!(matches!(
        fails(&document("<body><div><p>No times.</p></div></body>")),
        TranscriptError::NoTimes { .. }
    ));
    assert!(matches!(
        fails(&document("<body><div><p begin=\"1s\"/></div></body>")),
        TranscriptError::NoWords { .. }
    ));
    let xml = document(
        "<body><div>\n<p begin=\"soon\">Lost.</p><p begin=\"1s\" end=\"2s\">Kept.</p></div></body>",
    );
    let transcript = read(xml.as_bytes(), "w", &ReadOptions::default()).unwrap();
    assert_eq!(rows(&transcript), ["1-2 Kept."]);
    assert!(
        transcript.warnings[0].starts_with("line 5: begin=\"soon\" cannot"),
        "{:?}",
        transcript.warnings
    );
    let deep = document(&format!(
        "<body>{}{}</body>",
        "<div>".repeat(300),
        "</div>".repeat(300)
    ));
    fails(&deep);
    let deeper = document(&format!(
        "<body>{}{}</body>",
        "<div>".repeat(200_000),
        "</div>".repeat(200_000)
    ));
    fails(&deeper);
}
