//! `storystick plan LIST --from DATE --ready-by DATE`.

use std::collections::BTreeMap;

use anyhow::{Context, bail};
use jiff::civil::Date;

use super::args::{PlanArgs, PlanFormat};
use super::{Exit, now, output, saved};
use crate::list::Trade;
use crate::plan::{self, Calendar, Frame, Rules};

/// Makes the plan and writes it; 1 where not all can be ready in time, or not before a spoken deadline.
pub(super) fn run(raw: &PlanArgs) -> anyhow::Result<Exit> {
    let frame = Frame {
        from: date("--from", &raw.from)?,
        ready_by: date("--ready-by", &raw.ready_by)?,
        calendar: match &raw.holidays {
            None => Calendar::default(),
            Some(path) => {
                let text = std::fs::read_to_string(path)
                    .with_context(|| format!("cannot read the holidays in {}", path.display()))?;
                Calendar::read(&text).with_context(|| path.display().to_string())?
            }
        },
        crew: crew(&raw.crew)?,
    };
    if let Some(path) = &raw.output {
        output::not_one_of(path, std::slice::from_ref(&raw.list))?;
    }
    let list = saved::list(&raw.list)?;
    let plan = plan::plan(&list, &Rules::builtin(), &frame)?;
    let text = match raw.format {
        PlanFormat::Table => plan::write::table(&plan),
        PlanFormat::Md => plan::write::md(&plan),
        PlanFormat::Json => plan::write::json(&plan)?,
        PlanFormat::Ics => plan::ics::write(&list, &plan, now::now(raw.now.as_deref())?),
    };
    match &raw.output {
        Some(path) if path.as_os_str() != "-" => output::file(path, text.as_bytes())?,
        _ => output::print(text.as_bytes())?,
    }
    Ok(if plan.late.is_empty() && plan.missed.is_empty() {
        Exit::Done
    } else {
        Exit::Failed
    })
}

fn date(option: &str, text: &str) -> anyhow::Result<Date> {
    match text.parse() {
        Ok(date) => Ok(date),
        Err(_) => bail!("{option} {text} is no date; write it as 2026-03-02"),
    }
}

fn crew(given: &[String]) -> anyhow::Result<BTreeMap<Trade, u32>> {
    let mut out = BTreeMap::new();
    for text in given {
        let pair = text.split_once('=').and_then(|(trade, n)| {
            let n = n
                .trim()
                .parse::<u32>()
                .ok()
                .filter(|n| (1..=1000).contains(n))?;
            Some((Trade::from_word(trade.trim())?, n))
        });
        let Some((trade, n)) = pair else {
            let all: Vec<&str> = Trade::ALL.iter().map(|t| t.word()).collect();
            bail!(
                "--crew {text} is not TRADE=N; write painter=2, with N from 1 to 1000 and one of: {}",
                all.join(", ")
            );
        };
        out.insert(trade, n);
    }
    Ok(out)
}
