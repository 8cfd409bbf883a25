//! The time expressions of TTML2 (section 12.3): clock times and offsets, with frames and ticks.

use roxmltree::Node;

use super::super::time::{number, with_fraction};

/// Frames and ticks in a second, from the attributes of `tt`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rates {
    frames: f64,
    sub_frames: f64,
    ticks: f64,
}

impl Rates {
    /// `ttp:frameRate` (30 by default), `ttp:frameRateMultiplier`, `ttp:subFrameRate`, `ttp:tickRate`.
    pub(super) fn of(root: Node) -> Self {
        let value = |name: &str| super::attribute(root, name);
        let positive = |name: &str| value(name).and_then(number).filter(|n| *n > 0.0);
        let frame_rate = positive("frameRate");
        let multiplier = value("frameRateMultiplier").and_then(|m| {
            let mut parts = m.split([' ', ':']).filter_map(number);
            let (up, down) = (parts.next()?, parts.next().unwrap_or(1.0));
            (up > 0.0 && down > 0.0).then_some(up / down)
        });
        let frames = frame_rate.unwrap_or(30.0) * multiplier.unwrap_or(1.0);
        let sub_frames = positive("subFrameRate").unwrap_or(1.0);
        // Without a tick rate a tick is a sub-frame where a frame rate is given, else a second.
        let ticks = positive("tickRate").unwrap_or(if frame_rate.is_some() {
            frames * sub_frames
        } else {
            1.0
        });
        Rates {
            frames,
            sub_frames,
            ticks,
        }
    }

    /// A time expression in seconds: `00:00:01.5`, `00:00:01:12`, `1.5s`, `1500ms`, `36f`, `15000000t`, `0.5m`, `1h`.
    pub(super) fn seconds(&self, expression: &str) -> Option<f64> {
        let s = expression.trim();
        if s.contains(':') {
            return self.clock(s);
        }
        let digits = s
            .bytes()
            .take_while(|b| b.is_ascii_digit() || *b == b'.')
            .count();
        let value = number(&s[..digits])?;
        match &s[digits..] {
            "h" => Some(value * 3600.0),
            "m" => Some(value * 60.0),
            // Plain seconds are no TTML, and are written all the same.
            "s" | "" => Some(value),
            "ms" => Some(value / 1000.0),
            "f" => Some(value / self.frames),
            "t" => Some(value / self.ticks),
            _ => None,
        }
    }

    fn clock(&self, s: &str) -> Option<f64> {
        let parts: Vec<&str> = s.split(':').collect();
        let whole = |p: &str, most: u64| -> Option<u64> {
            let digits = !p.is_empty() && p.len() <= 6 && p.bytes().all(|b| b.is_ascii_digit());
            p.parse().ok().filter(|v| digits && *v <= most)
        };
        let (hours, minutes, seconds, frames) = match parts[..] {
            [m, s] => (0, m, s, None),
            [h, m, s] => (whole(h, 999_999)?, m, s, None),
            [h, m, s, f] => (whole(h, 999_999)?, m, s, Some(f)),
            _ => return None,
        };
        let before = (hours * 60 + whole(minutes, 999)?) * 60;
        let (seconds, fraction) = seconds.split_once(['.', ',']).unwrap_or((seconds, ""));
        if !fraction.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let seconds = with_fraction(before + whole(seconds, 60)?, fraction);
        let Some(frames) = frames else {
            return Some(seconds);
        };
        let (frames, sub) = frames.split_once('.').unwrap_or((frames, "0"));
        let frames = whole(frames, 9999)? as f64 + whole(sub, 9999)? as f64 / self.sub_frames;
        Some(seconds + frames / self.frames)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_expressions() {
        let rates = |attributes: &str| {
            let xml =
                format!("<tt xmlns:ttp=\"http://www.w3.org/ns/ttml#parameter\" {attributes}/>");
            let document = roxmltree::Document::parse(&xml).unwrap();
            Rates::of(document.root_element())
        };
        let plain = rates("");
        for (expression, seconds) in [
            ("00:00:01.5", Some(1.5)),
            ("01:02:03", Some(3723.0)),
            ("100:00:00.001", Some(360_000.001)),
            ("00:00:01:15", Some(1.5)),
            ("1.5s", Some(1.5)),
            ("1500ms", Some(1.5)),
            ("45f", Some(1.5)),
            ("90t", Some(90.0)),
            ("0.5m", Some(30.0)),
            ("1h", Some(3600.0)),
            ("7", Some(7.0)),
            ("00:00:0x", None),
            ("-1s", None),
            ("1d", None),
            (":", None),
            ("", None),
        ] {
            assert_eq!(plain.seconds(expression), seconds, "{expression}");
        }
        let film = rates(
            "ttp:frameRate=\"24\" ttp:frameRateMultiplier=\"1000 1001\" ttp:subFrameRate=\"2\"",
        );
        assert_eq!(film.seconds("24f"), Some(24.0 / (24.0 * 1000.0 / 1001.0)));
        assert!(
            (film.seconds("00:00:01:12.1").unwrap() - (1.0 + 12.5 * 1.001 / 24.0)).abs() < 1e-9
        );
        assert_eq!(
            rates("ttp:tickRate=\"10000000\"").seconds("15000000t"),
            Some(1.5)
        );
        assert_eq!(rates("ttp:frameRate=\"25\"").seconds("50t"), Some(2.0));
        assert_eq!(rates("ttp:frameRate=\"0\"").seconds("30f"), Some(1.0));
    }
}
