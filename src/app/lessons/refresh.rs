use super::course::course;
use super::days::today;
use crate::app::dom::{View, button, el, note, when};
use crate::app::i18n::{Key, format, text};
use leptos::prelude::*;
use nudgeproof::lesson::due;

/// The refresher: what is due, and the round under way.
pub(super) fn refresher() -> View {
    let course = course();
    let now_due = move || {
        let records = course.records.read();
        if records.is_empty() {
            return text(Key::RefresherNothing).to_owned();
        }
        let (day, all) = (today(), due(&records, today()));
        let names: Vec<&str> = all
            .iter()
            .filter(|d| d.due <= day && d.last.is_some())
            .map(|d| d.skill.label())
            .collect();
        if names.is_empty() {
            let next = all.iter().filter(|d| d.last.is_some()).map(|d| d.due - day).min();
            return format(Key::RefresherLater, &[&next.unwrap_or(0).to_string()]);
        }
        format(Key::RefresherDue, &[&names.join(", ")])
    };
    el("article")
        .class("card wide")
        .test_id("refresher")
        .child(el("h2").text(Key::Refresher))
        .child(el("p").text(Key::RefresherAbout))
        .child(note().test_id("refresher-due").text(now_due))
        .child(
            el("div")
                .class("row-tools")
                .child(when(
                    move || !course.round.read().is_empty(),
                    move || {
                        button("refresher-go-on")
                            .class("run-button")
                            .click(move || course.go_on())
                            .text(format(
                                Key::RefresherGoOn,
                                &[&course.round.read().len().to_string()],
                            ))
                    },
                ))
                .child(
                    button("start-refresher")
                        .class_if("run-button", move || {
                            course.round.read().is_empty() && !course.records.read().is_empty()
                        })
                        .click(move || course.begin_refresher())
                        .text(Key::RefresherBegin),
                ),
        )
}
