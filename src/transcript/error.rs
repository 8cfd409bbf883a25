//! What can be wrong with a transcript as a whole, in words that say where and what to do.

/// Why a transcript could not be read. Every message names the file, the place and the next step.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TranscriptError {
    /// Not one byte, or nothing but white space.
    #[error("{file}: the file is empty; export the transcript again, with time stamps")]
    Empty {
        /// The file's name.
        file: String,
    },
    /// A recording, an archive or something else that is no text.
    #[error(
        "{file}: {looks} (byte {byte}), not a text; give the transcript that a speech-to-text program made of it"
    )]
    Binary {
        /// The file's name.
        file: String,
        /// What the bytes look like, as a clause: "this looks like a recording (WAV)".
        looks: String,
        /// Where in the file the first telling byte is, counted from 0.
        byte: usize,
    },
    /// Bytes that are not UTF-8.
    #[error(
        "{file}: line {line}, byte {byte}: not valid UTF-8; save the file as UTF-8, or read on with --lossy"
    )]
    Utf8 {
        /// The file's name.
        file: String,
        /// Where the first bad byte is, counted from 0.
        byte: usize,
        /// The line it is on, counted from 1.
        line: usize,
    },
    /// Text without any time in it.
    #[error(
        "{file}: no times in it ({lines} lines read); export the transcript with time stamps, for example \"[1:02] text\""
    )]
    NoTimes {
        /// The file's name.
        file: String,
        /// How many lines were looked at.
        lines: usize,
    },
    /// Times, and no words beside them.
    #[error(
        "{file}: read as {format}, {cues} times in it and no words; was anything said, and was the text exported?"
    )]
    NoWords {
        /// The file's name.
        file: String,
        /// The format it was read as.
        format: &'static str,
        /// How many timed pieces were found, all empty.
        cues: usize,
    },
    /// Every time is beyond what a recording can last.
    #[error(
        "{file}: line {line}: the times start at {hours} hours; times must count from the start of the recording"
    )]
    AbsurdTimes {
        /// The file's name.
        file: String,
        /// The line of the first time, counted from 1.
        line: usize,
        /// That time, in hours.
        hours: u64,
    },
    /// JSON with none of the known shapes.
    #[error(
        "{file}: JSON, but of no known shape; keys seen: {keys}. Known: a list of timed pieces (each with start, end and text) \
         on top or under segments, utterances, transcription, chunks, monologues, captions or results; word lists with \
         times under words, items or alternatives"
    )]
    JsonShape {
        /// The file's name.
        file: String,
        /// The keys that were seen, as paths.
        keys: String,
    },
    /// JSON that breaks off or is otherwise malformed.
    #[error(
        "{file}: line {line}, column {column}: malformed JSON: {message}; was the file cut short?"
    )]
    Json {
        /// The file's name.
        file: String,
        /// Line, counted from 1.
        line: usize,
        /// Column, counted from 1.
        column: usize,
        /// The parser's own words.
        message: String,
    },
    /// XML that is malformed.
    #[error(
        "{file}: line {line}, column {column}: malformed XML: {message}; was the file cut short?"
    )]
    Xml {
        /// The file's name.
        file: String,
        /// Line, counted from 1.
        line: usize,
        /// Column, counted from 1.
        column: usize,
        /// The parser's own words.
        message: String,
    },
    /// XML that is not TTML.
    #[error(
        "{file}: XML with the root element <{root}>; of XML, only TTML or IMSC (root <tt>) is read"
    )]
    XmlShape {
        /// The file's name.
        file: String,
        /// The root element's name.
        root: String,
    },
}
