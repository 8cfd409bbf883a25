//! A trade's page: cautions, then its items in walking order.

use super::html::{self, Sign};
use super::{Options, Sheet, trade_name};
use crate::list::{Item, List, Trade};
use crate::report::words::counted;

/// The page of one trade with these items.
pub(super) fn page(list: &List, trade: Trade, items: &[&Item], options: &Options) -> Sheet {
    let title = format!(
        "{}: {}",
        trade_name(list, trade),
        counted(items.len(), "item", "items")
    );
    let places = super::areas(items).len();
    let body = format!(
        "<p class=\"lead\">In {}, in the order of the walk. Call items by their numbers.</p>\n{}{}{}{}",
        counted(places, "place", "places"),
        html::card(list, trade, "en"),
        html::cautions(items),
        html::by_area(list, items, options, Sign::Tick),
        html::tail(list)
    );
    Sheet {
        file: format!("{}.html", trade.word()),
        text: html::page("en", &title, &body),
    }
}
