//! The instructor's window: a page of its own that leads the page the class sees.

use super::channel::Channel;
use super::message::{Command, Message, Says, Status};
use super::setup_form::SetupForm;
use crate::app::i18n::{Key, format, text};
use crate::app::keys::fault_key;
use crate::app::screen;
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use nudgeproof::cell::{FAULT_KINDS, FaultKind};

/// What stands before the id of the page of the class in the address.
const BEFORE: &str = "#/class?";
/// How long the page of the class has for an answer, ms.
const PATIENCE: u32 = 1500;

/// The address of the window for the page of this class.
pub(super) fn address(class: &str) -> String {
    [BEFORE, class].concat()
}

/// Whether an address is that of an instructor's window.
pub(crate) fn is_class_window(hash: &str) -> bool {
    hash == "#/class" || hash.starts_with(BEFORE)
}

/// Whether the page of the class answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Partner {
    Asked,
    There,
    Silent,
}

/// The page of the class as this window knows it.
#[derive(Clone, Copy)]
struct Class {
    id: StoredValue<String>,
    channel: StoredValue<Option<Channel>>,
    partner: RwSignal<Partner>,
    status: RwSignal<Status>,
    /// Gives up waiting for an answer.
    patience: StoredValue<Option<Timeout>, LocalStorage>,
}

impl Class {
    fn find(id: String) -> Self {
        let class = Self {
            id: StoredValue::new(id),
            channel: StoredValue::new(None),
            partner: RwSignal::new(Partner::Asked),
            status: RwSignal::default(),
            patience: StoredValue::new_local(None),
        };
        class.channel.set_value(Some(Channel::open(move |message| class.hear(message))));
        class.ask(Command::Status);
        class
    }

    fn ask(self, command: Command) {
        if let Some(channel) = self.channel.get_value() {
            channel.say(self.id.get_value(), Says::Do(command));
        }
        let give_up = move || self.partner.set(Partner::Silent);
        self.patience.set_value(Some(Timeout::new(PATIENCE, give_up)));
    }

    fn hear(self, message: Message) {
        if message.class != self.id.get_value() {
            return;
        }
        match message.says {
            Says::Status(status) => {
                self.patience.set_value(None);
                self.partner.set(Partner::There);
                self.status.set(status);
            }
            Says::Gone => self.partner.set(Partner::Silent),
            _ => {}
        }
    }

    fn is_there(self) -> bool {
        self.partner.get() == Partner::There
    }
}

fn class() -> Class {
    expect_context()
}

/// The window.
#[component]
pub(crate) fn ClassWindow() -> impl IntoView {
    let hash = screen::hash();
    let class = Class::find(hash.strip_prefix(BEFORE).unwrap_or_default().to_owned());
    provide_context(class);
    document().set_title(text(Key::ClassWindow));
    let there = move || class.is_there();
    view! {
        <main class="class-window" data-testid="class-window">
            <header>
                <h1>{text(Key::ClassWindow)}</h1>
                <PartnerLine />
            </header>
            <Show when=there>
                <SecretNow />
                <GuessCount />
                <PlantList />
                <SetupForm open=move |setup| class.ask(Command::OpenSetup(setup)) />
            </Show>
        </main>
    }
}

/// Which page answers, and how it stands; or that none does.
#[component]
fn PartnerLine() -> impl IntoView {
    let class = class();
    let line = move || match class.partner.get() {
        Partner::Asked => text(Key::ClassAsked).to_owned(),
        Partner::Silent => text(Key::ClassSilent).to_owned(),
        Partner::There => class.status.with(|s| format(Key::ClassThere, &[&s.part, &s.run])),
    };
    view! {
        <p
            class:warning=move || class.partner.get() == Partner::Silent
            role="status"
            data-testid="partner"
            data-partner=move || format!("{:?}", class.partner.get()).to_lowercase()
        >
            {line}
        </p>
        <Show when=move || class.partner.get() == Partner::Silent>
            <button type="button" data-testid="ask-again" on:click=move |_| class.ask(Command::Status)>
                {text(Key::AskAgain)}
            </button>
        </Show>
    }
}

/// What is secret now, and what can be done about it.
#[component]
fn SecretNow() -> impl IntoView {
    let class = class();
    let secrets = Memo::new(move |_| class.status.with(|s| s.secrets.clone()));
    let list = move || secrets.get().into_iter().map(|s| view! { <li>{s}</li> }).collect_view();
    let button = move |test_id: &'static str, name: Key, command: Command, main: bool| {
        view! {
            <button
                type="button"
                class:run-button=main
                data-testid=test_id
                on:click=move |_| class.ask(command.clone())
            >
                {text(name)}
            </button>
        }
    };
    view! {
        <section aria-labelledby="secret-title">
            <h2 id="secret-title">{text(Key::SecretNow)}</h2>
            <Show
                when=move || !secrets.read().is_empty()
                fallback=|| view! { <p data-testid="no-secrets">{text(Key::NothingSecret)}</p> }
            >
                <ul class="secrets" data-testid="secrets">{list}</ul>
            </Show>
            <div class="class-buttons">
                {button("class-reveal", Key::RevealIt, Command::Reveal, true)}
                {button("class-take-back", Key::TakeBack, Command::TakeBack, false)}
                {button("class-clear", Key::ClearFaults, Command::ClearFaults, false)}
                {button("class-next-part", Key::NextPart, Command::NextPart, false)}
            </div>
            <p class="fine" role="status" data-testid="done">
                {move || class.status.with(|s| s.done.clone())}
            </p>
        </section>
    }
}

/// Every fault with its key, a word on how it shows, and a button that plants it.
#[component]
fn PlantList() -> impl IntoView {
    let class = class();
    let row = move |(at, kind): (usize, &'static FaultKind)| {
        let fits = move || class.status.with(|s| s.fits.iter().any(|name| name == kind.name));
        let id = format!("plant-{}", kind.name);
        view! {
            <li>
                <kbd>{fault_key(at)}</kbd>
                <p id=id.clone()>
                    <b>{kind.says}</b>
                    <span class="fine">{kind.sign}</span>
                </p>
                <button
                    type="button"
                    data-testid=id.clone()
                    aria-describedby=id
                    disabled=move || !fits()
                    on:click=move |_| class.ask(Command::Plant(kind.name.into()))
                >
                    {text(Key::PlantFault)}
                </button>
            </li>
        }
    };
    view! {
        <section aria-labelledby="plant-title">
            <h2 id="plant-title">{text(Key::PlantInSecret)}</h2>
            <button
                type="button"
                data-testid="class-move"
                on:click=move |_| class.ask(Command::MoveInSecret)
            >
                {text(Key::MoveInSecret)}
            </button>
            <ul class="plant-list">{FAULT_KINDS.iter().enumerate().map(row).collect_view()}</ul>
            <p class="fine">{text(Key::PlantListNote)}</p>
        </section>
    }
}

/// The open question, and the hands counted for each answer.
#[component]
fn GuessCount() -> impl IntoView {
    let class = class();
    let question = Memo::new(move |_| class.status.with(|s| s.question.clone()));
    let button = move |test_id: &'static str, name: Key, command: Command| {
        view! {
            <button
                type="button"
                data-testid=test_id
                on:click=move |_| class.ask(command.clone())
            >
                {text(name)}
            </button>
        }
    };
    let none = move || {
        view! {
            <p data-testid="no-question">{text(Key::NoQuestion)}</p>
            {button("ask-class", Key::AskWhatIsWrong, Command::AskWhatIsWrong)}
        }
    };
    let open = move || {
        let question = question.get()?;
        let most = question.answers.iter().map(|(_, hands)| *hands).max().unwrap_or_default();
        let open = question.open;
        let row = |(at, (says, hands)): (usize, (String, u32))| {
            let less = format(Key::OneHandLess, &[&says]);
            view! {
                <li class:right=question.right == Some(at)>
                    <button
                        type="button"
                        class="count"
                        data-testid=format!("count-{}", at + 1)
                        disabled=!open
                        on:click=move |_| class.ask(Command::Count(at))
                    >
                        <kbd>{(at + 1).to_string()}</kbd>
                        <span>{says}</span>
                        <meter
                            min="0"
                            max=most.max(1).to_string()
                            value=hands.to_string()
                            aria-label=text(Key::HandsForIt)
                        ></meter>
                        <b data-testid=format!("counted-{}", at + 1)>{hands.to_string()}</b>
                    </button>
                    <button
                        type="button"
                        data-testid=format!("uncount-{}", at + 1)
                        aria-label=less
                        disabled=!open || hands == 0
                        on:click=move |_| class.ask(Command::Uncount(at))
                    >
                        "−"
                    </button>
                </li>
            }
        };
        let rows = question.answers.iter().cloned().enumerate().map(row).collect_view();
        let shown =
            question.shown.then(|| view! { <p class="fine">{text(Key::HandsAreShown)}</p> });
        Some(view! {
            <p class="question" data-testid="question">{question.text.clone()}</p>
            <ol class="counts">{rows}</ol>
            {shown}
            <div class="class-buttons">
                {(!question.shown).then(|| button("show-hands", Key::ShowHands, Command::ShowHands))}
                {open.then(|| button("count-again", Key::CountAgain, Command::CountAgain))}
                {question.own.then(|| button("put-away", Key::CloseQuestion, Command::CloseQuestion))}
            </div>
            <p class="fine">{text(Key::GuessesNote)}</p>
        })
    };
    view! {
        <section aria-labelledby="guesses-title">
            <h2 id="guesses-title">{text(Key::GuessesTitle)}</h2>
            <Show when=move || question.read().is_some() fallback=none>{open}</Show>
        </section>
    }
}
