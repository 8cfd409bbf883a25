//! Tab-, comma- or semicolon-separated start, end, text.
//!
//! With a header the columns are told by their names, in any order; without one they are the first two that hold times,
//! then the text. Plain numbers are seconds or milliseconds: a header that names the unit (`start_ms`, `start (s)`)
//! decides, else how fast somebody would have spoken does (`UnitGuess` in `time.rs`).

mod columns;

use csv::StringRecord;

use super::draft::{Draft, Kind, Notes};
use super::time::UnitGuess;
use super::webvtt::short;
use columns::{Layout, layout, moment, reader};

/// A cell of several lines that is longer than this many bytes is worth a note.
const LONG: usize = 10_000;

/// Whether `text` is such a table.
pub(crate) fn looks_like(text: &str) -> bool {
    layout(text).is_some()
}

/// Reads a table.
pub(crate) fn read(text: &str, notes: &mut Notes) -> Vec<Draft> {
    let lead = text.len() - text.trim_start_matches(['\u{FEFF}', '\n', '\r']).len();
    let body = &text[lead..];
    let Some(Layout { delimiter, columns }) = layout(body) else {
        return Vec::new();
    };
    let mut out: Vec<Draft> = Vec::new();
    let mut loose = Vec::new();
    let mut guess = UnitGuess::default();
    let mut row = StringRecord::new();
    let mut reader = reader(body, delimiter);
    let mut first = true;
    while let Ok(true) = reader.read_record(&mut row) {
        let header = std::mem::take(&mut first) && columns.header;
        if header || row.iter().all(|f| f.trim().is_empty()) {
            continue;
        }
        let at = lead + row.position().map_or(0, |p| p.byte() as usize);
        let whole = || short(&row.iter().collect::<Vec<_>>().join(" | "));
        let Some((start, sure)) = row.get(columns.start).and_then(moment) else {
            notes.add(Kind::Skipped, at, || {
                format!(
                    "row skipped, its start cannot be read as a time: {}",
                    whole()
                )
            });
            continue;
        };
        let given = columns
            .end
            .and_then(|i| row.get(i))
            .filter(|f| !f.trim().is_empty());
        let end = given.and_then(moment);
        if given.is_some() && end.is_none() {
            notes.add(Kind::Mended, at, || {
                format!("end cannot be read as a time, read as open: {}", whole())
            });
        }
        let (start, sure) = match columns.unit {
            Some(unit) if !sure => (start / unit, true),
            _ => (start, sure),
        };
        let end = end.map(|(end, sure)| {
            if sure {
                end
            } else {
                end / columns.unit.unwrap_or(1.0)
            }
        });
        let end = if columns.lasts {
            end.map(|e| start + e)
        } else {
            end
        };
        // Fields beyond the last column are commas in a text that nobody quoted.
        let mut words = row.get(columns.text).unwrap_or("").to_owned();
        if columns.text + 1 == columns.width() {
            for more in row.iter().skip(columns.text + 1) {
                words.push(char::from(delimiter));
                words.push_str(more);
            }
        }
        if words.len() > LONG && words.contains('\n') {
            let length = words.len();
            notes.add(Kind::Mended, at, || {
                format!("{length} bytes in one cell; is a quotation mark left open?")
            });
        }
        let speaker = columns
            .speaker
            .and_then(|i| row.get(i))
            .map(str::trim)
            .filter(|s| !s.is_empty());
        if !sure {
            loose.push(out.len());
            guess.add(start, end.map_or(0.0, |e| e - start), words.len());
        }
        out.push(Draft {
            at,
            start,
            end,
            text: words,
            speaker: speaker.map(str::to_owned),
            words: Vec::new(),
        });
    }
    let scale = guess.scale();
    for index in loose {
        out[index].start /= scale;
        out[index].end = out[index].end.map(|e| e / scale);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(text: &str) -> Vec<(f64, Option<f64>, Option<String>, String)> {
        let mut notes = Notes::new(text);
        assert!(looks_like(text), "{text}");
        read(text, &mut notes)
            .into_iter()
            .map(|d| (d.start, d.end, d.speaker, d.text))
            .collect()
    }

    fn row(
        start: f64,
        end: f64,
        who: &str,
        text: &str,
    ) -> (f64, Option<f64>, Option<String>, String) {
        (
            start,
            Some(end),
            Some(who.to_owned()).filter(|w| !w.is_empty()),
            text.to_owned(),
        )
    }

    #[test]
    fn with_a_header() {
        let want = [
            row(1.5, 2.5, "", "The tap, it drips."),
            row(4.0, 5.25, "", "Door."),
        ];
        for text in [
            "start\tend\ttext\n1500\t2500\tThe tap, it drips.\n4000\t5250\tDoor.\n",
            "start,end,text\n1.5,2.5,\"The tap, it drips.\"\n4.0,5.25,Door.\n",
            "start,end,text\n1.5,2.5,The tap, it drips.\n4.0,5.25,Door.\n",
            "Text;Start (s);End (s)\r\nThe tap, it drips.;1.5;2.5\r\nDoor.;4;5.25\r\n",
            "text\tstart_ms\tend_ms\nThe tap, it drips.\t1500\t2500\nDoor.\t4000\t5250\n",
            "Start Time\tDuration\tTranscript\n0:01.500\t1s\tThe tap, it drips.\n00:00:04\t1.25s\tDoor.\n",
        ] {
            assert_eq!(run(text), want, "{text}");
        }
        let text = "speaker,start,end,text\nDave,0:01,0:02,\"Said \"\"no\"\".\"\n,0:03,0:04,ok\n";
        assert_eq!(
            run(text),
            [
                row(1.0, 2.0, "Dave", "Said \"no\"."),
                row(3.0, 4.0, "", "ok")
            ]
        );
        assert_eq!(
            run("time,text\n0:01,a\n0:03,b")[1],
            (3.0, None, None, "b".to_owned())
        );
    }

    #[test]
    fn without_a_header() {
        let want = [
            row(1.5, 2.5, "", "The tap, it drips."),
            row(4.0, 5.25, "", "Door."),
        ];
        for text in [
            "1.5\t2.5\tThe tap, it drips.\n4\t5.25\tDoor.\n",
            "1500\t2500\tThe tap, it drips.\n4000\t5250\tDoor.\n",
            "00:01.5,00:02.5,The tap, it drips.\n00:04,00:05.250,Door.",
            "1,1.5,2.5,\"The tap, it drips.\"\n2,4.0,5.25,Door.",
        ] {
            assert_eq!(run(text), want, "{text}");
        }
        let named = "Dave\t1.5\t2.5\tThe tap.\nSue\t4\t5\tNo.\n";
        assert_eq!(
            run(named),
            [
                row(1.5, 2.5, "Dave", "The tap."),
                row(4.0, 5.0, "Sue", "No.")
            ]
        );
        let behind = "1.5\t2.5\tDave\tThe tap it drips.\n4\t5\tDave\tSo it does.\n";
        assert_eq!(run(behind)[0], row(1.5, 2.5, "Dave", "The tap it drips."));
        let quote = "1.5\t2.5\t\"Fine,\" he said.\n4\t5\tThe 2\" gap.\n";
        assert_eq!(run(quote)[0], row(1.5, 2.5, "", "\"Fine,\" he said."));
    }

    #[test]
    fn what_is_no_table() {
        for text in [
            "[0:01] one, two\n[0:02] three",
            "So, the tap, it drips.\n1,2,3",
            "a,b,c\n1,2,3\n",
            "0:01\tthe tap\n0:02\tdoor",
        ] {
            assert!(!looks_like(text), "{text}");
        }
    }

    #[test]
    fn a_bad_row_is_skipped_with_its_line() {
        let text = "start,end,text\n1,2,a\nsoon,3,b\n4,then,c\n";
        let mut notes = Notes::new(text);
        let read = read(text, &mut notes);
        assert_eq!(read.len(), 2);
        let warnings = notes.into_warnings();
        assert!(
            warnings[0].starts_with("line 3: row skipped")
                && warnings[1].starts_with("line 4: end"),
            "{warnings:?}"
        );
    }
}
