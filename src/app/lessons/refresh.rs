use super::course::course;
use super::days::today;
use crate::app::live::when;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::lesson::due;

/// The refresher: what is due, and the round under way.
#[component]
pub(super) fn Refresher() -> impl IntoView {
    let course = course();
    let now_due = move || {
        let records = course.records.read();
        if records.is_empty() {
            return say(Word::RefresherNothing).to_owned();
        }
        let (day, all) = (today(), due(&records, today()));
        let names: Vec<&str> = all
            .iter()
            .filter(|d| d.due <= day && d.last.is_some())
            .map(|d| d.skill.label())
            .collect();
        if names.is_empty() {
            let next = all.iter().filter(|d| d.last.is_some()).map(|d| d.due - day).min();
            return tell(Word::RefresherLater, &[&next.unwrap_or(0).to_string()]);
        }
        tell(Word::RefresherDue, &[&names.join(", ")])
    };
    view! {
        <article class="card wide" data-testid="refresher">
            <h2>{say(Word::Refresher)}</h2>
            <p>{say(Word::RefresherAbout)}</p>
            <p class="fine" data-testid="refresher-due">{now_due}</p>
            <div class="row-tools">
                {when(move || !course.round.read().is_empty(), move || view! {
                    <button type="button" class="run-button" data-testid="refresher-go-on"
                        on:click=move |_| course.go_on()>
                        {tell(Word::RefresherGoOn, &[&course.round.read().len().to_string()])}
                    </button>
                }.into_any())}
                <button type="button" data-testid="start-refresher"
                    class:run-button=move || course.round.read().is_empty() && !course.records.read().is_empty()
                    on:click=move |_| course.begin_refresher()>{say(Word::RefresherBegin)}</button>
            </div>
        </article>
    }
}
