//! How the Spanish words of a fault agree with the part that has it: "puerta; desalineada".

use serde::Deserialize;

/// The first words of labels that do not follow the rule.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Gender {
    pub(super) feminine: Vec<String>,
    pub(super) masculine: Vec<String>,
    pub(super) plural: Vec<String>,
}

impl Gender {
    /// The ending of what agrees with a part, told from the first word of its label: `o`, `a`, `os` or `as`.
    pub(super) fn ending(&self, label: &str) -> &'static str {
        let first = label.split_whitespace().next().unwrap_or_default();
        let first = first.to_lowercase();
        let is = |words: &[String]| words.contains(&first);
        let many = is(&self.plural);
        let one = first.strip_suffix('s').filter(|_| many).unwrap_or(&first);
        let ends = ["a", "ción", "sión", "dad"]
            .iter()
            .any(|e| one.ends_with(e));
        let feminine = is(&self.feminine) || (ends && !is(&self.masculine));
        match (feminine, many) {
            (false, false) => "o",
            (true, false) => "a",
            (false, true) => "os",
            (true, true) => "as",
        }
    }

    /// A fault's label as it agrees with a part's.
    pub(super) fn agreed(&self, fault: &str, part: &str) -> String {
        fault.replace("{o}", self.ending(part))
    }
}
