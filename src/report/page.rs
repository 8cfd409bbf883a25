//! A page of plain text in a given width: wrapping, cells side by side, terminal styles.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::words::steers;

/// How a piece of text stands out at a terminal. What it says stands in its words; none of these is told by hue alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tone {
    Plain,
    Strong,
    Danger,
    Urgent,
    Ask,
}

impl Tone {
    fn code(self) -> &'static str {
        match self {
            Tone::Plain => "",
            Tone::Strong => "1",
            Tone::Danger => "1;7",
            Tone::Urgent => "1;35",
            Tone::Ask => "4",
        }
    }
}

/// Text in one tone. Pieces that follow each other are set apart by a blank.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    text: String,
    tone: Tone,
}

impl Piece {
    pub(super) fn new(text: impl Into<String>, tone: Tone) -> Piece {
        Piece {
            text: text.into(),
            tone,
        }
    }

    pub(super) fn plain(text: impl Into<String>) -> Piece {
        Piece::new(text, Tone::Plain)
    }
}

/// What stands in one column of a row, already wrapped to the column's width.
#[derive(Debug)]
pub(super) struct Cell {
    lines: Vec<Vec<Piece>>,
    width: usize,
    right: bool,
    /// The blanks to the next cell.
    gap: usize,
}

impl Cell {
    pub(super) fn new(pieces: &[Piece], width: usize) -> Cell {
        Cell {
            lines: wrap(pieces, width),
            width,
            right: false,
            gap: 2,
        }
    }

    pub(super) fn plain(text: &str, width: usize) -> Cell {
        Cell::new(&[Piece::plain(text)], width)
    }

    /// The same cell with one blank, not two, before the next.
    pub(super) fn close(self) -> Cell {
        Cell { gap: 1, ..self }
    }

    /// A cell whose text stands at its right edge.
    pub(super) fn right(text: &str, width: usize) -> Cell {
        Cell {
            right: true,
            ..Cell::plain(text, width)
        }
    }
}

/// The page so far.
#[derive(Debug)]
pub(super) struct Page {
    pub(super) width: usize,
    color: bool,
    text: String,
}

impl Page {
    pub(super) fn new(width: usize, color: bool) -> Page {
        Page {
            width,
            color,
            text: String::new(),
        }
    }

    pub(super) fn finish(self) -> String {
        self.text
    }

    /// An empty line, unless the page begins here.
    pub(super) fn gap(&mut self) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
    }

    /// A paragraph: its first line begins at column `indent`, the others two further in.
    pub(super) fn paragraph(&mut self, indent: usize, pieces: &[Piece]) {
        for (i, line) in wrap(pieces, self.width.saturating_sub(indent + 2))
            .into_iter()
            .enumerate()
        {
            self.text
                .push_str(&" ".repeat(if i == 0 { indent } else { indent + 2 }));
            self.pieces(&line);
            self.text.push('\n');
        }
    }

    /// Cells side by side, as high as the highest.
    pub(super) fn row(&mut self, cells: &[Cell]) {
        let height = cells.iter().map(|c| c.lines.len()).max().unwrap_or(0);
        for y in 0..height {
            let mut owed = 0;
            for (x, cell) in cells.iter().enumerate() {
                let line = cell.lines.get(y).map(Vec::as_slice).unwrap_or_default();
                let taken = width_of(line);
                let spare = cell.width.saturating_sub(taken);
                let before = if cell.right { spare } else { 0 };
                if taken > 0 {
                    self.text.push_str(&" ".repeat(owed + before));
                    self.pieces(line);
                    owed = spare - before;
                } else {
                    owed += cell.width;
                }
                if x + 1 < cells.len() {
                    owed += cell.gap;
                }
            }
            self.text.push('\n');
        }
    }

    fn pieces(&mut self, line: &[Piece]) {
        for (i, piece) in line.iter().enumerate() {
            if i > 0 {
                self.text.push(' ');
            }
            let code = piece.tone.code();
            if self.color && !code.is_empty() {
                self.text
                    .push_str(&format!("\x1b[{code}m{}\x1b[0m", piece.text));
            } else {
                self.text.push_str(&piece.text);
            }
        }
    }
}

/// The columns that a text takes once it is made safe for a terminal.
pub(super) fn columns(text: &str) -> usize {
    wrap(&[Piece::plain(text)], usize::MAX)
        .first()
        .map(|l| width_of(l))
        .unwrap_or(0)
}

fn width_of(line: &[Piece]) -> usize {
    line.iter().map(|p| p.text.width()).sum::<usize>() + line.len().saturating_sub(1)
}

/// Breaks at white space; a word that is longer than a line is cut at its end. Words of one tone in one line are joined.
fn wrap(pieces: &[Piece], width: usize) -> Vec<Vec<Piece>> {
    let width = width.max(2);
    let mut lines: Vec<Vec<Piece>> = Vec::new();
    let mut left = 0;
    for piece in pieces {
        let safe = safe(&piece.text);
        let words = safe.split(|c: char| c.is_whitespace() && c != FIRM);
        for word in words
            .filter(|w| !w.is_empty())
            .flat_map(|w| chunks(w, width))
        {
            let word = &word.replace(FIRM, " ");
            let takes = columns_at_most(word);
            match lines.last_mut() {
                Some(line) if takes < left => {
                    left -= takes + 1;
                    match line.last_mut() {
                        Some(last) if last.tone == piece.tone => {
                            last.text.push(' ');
                            last.text.push_str(word);
                        }
                        _ => line.push(Piece::new(word, piece.tone)),
                    }
                }
                _ => {
                    lines.push(vec![Piece::new(word, piece.tone)]);
                    left = width - takes;
                }
            }
        }
    }
    lines
}

/// A word in parts that each fit the width.
fn chunks(word: &str, width: usize) -> Vec<&str> {
    let mut parts = Vec::new();
    let (mut start, mut taken) = (0, 0);
    for (i, c) in word.char_indices() {
        let w = char_columns(c);
        if taken + w > width && w > 0 {
            parts.push(&word[start..i]);
            (start, taken) = (i, 0);
        }
        taken += w;
    }
    parts.push(&word[start..]);
    parts
}

/// The columns of a word, never less than what a terminal takes for it: sequences that join into one sign count in parts.
fn columns_at_most(word: &str) -> usize {
    word.chars().map(char_columns).sum()
}

fn char_columns(c: char) -> usize {
    // The variation selector makes the sign before it two columns wide.
    if c == '\u{fe0f}' {
        1
    } else {
        c.width().unwrap_or(0)
    }
}

/// The text without what would steer a terminal.
fn safe(text: &str) -> String {
    text.chars()
        .map(|c| if steers(c) { ' ' } else { c })
        .collect()
}

/// A blank at which no line is broken; on the page it is a blank like any other.
const FIRM: char = '\u{a0}';

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str, width: usize) -> Vec<String> {
        wrap(&[Piece::plain(text)], width)
            .iter()
            .map(|l| l[0].text.clone())
            .collect()
    }

    #[test]
    fn breaks_at_blanks() {
        assert_eq!(lines("touch up the sill", 8), ["touch up", "the sill"]);
        assert_eq!(lines("touch up the sill", 9), ["touch up", "the sill"]);
        assert_eq!(lines("", 9), Vec::<String>::new());
    }

    #[test]
    fn a_firm_blank_holds() {
        assert_eq!(lines("gap 1/8\u{a0}in", 9), ["gap", "1/8 in"]);
    }

    #[test]
    fn cuts_a_word_that_is_too_long() {
        assert_eq!(
            lines("a weatherstripping b", 6),
            ["a", "weathe", "rstrip", "ping b"]
        );
    }

    #[test]
    fn wide_signs_take_two_columns() {
        assert_eq!(lines("扉枠扉枠", 5), ["扉枠", "扉枠"]);
        assert_eq!(columns("扉枠"), 4);
    }

    #[test]
    fn a_mark_stays_with_its_letter() {
        assert_eq!(lines("ae\u{301}ae\u{301}", 2), ["ae\u{301}", "ae\u{301}"]);
    }

    #[test]
    fn nothing_steers_the_terminal() {
        assert_eq!(lines("a\x1b[31mb\u{202e}c\x07", 20), ["a [31mb c"]);
    }

    #[test]
    fn cells_stand_side_by_side() {
        let mut page = Page::new(20, false);
        page.row(&[
            Cell::right("7", 3),
            Cell::plain("one two three", 7),
            Cell::plain("end", 3),
        ]);
        assert_eq!(page.finish(), "  7  one two  end\n     three\n");
    }

    #[test]
    fn styles_wrap_the_words_alone() {
        let mut page = Page::new(20, true);
        page.paragraph(
            2,
            &[
                Piece::new("fall hazard.", Tone::Danger),
                Piece::plain("Install it"),
            ],
        );
        assert_eq!(
            page.finish(),
            "  \x1b[1;7mfall hazard.\x1b[0m\n    Install it\n"
        );
    }
}
