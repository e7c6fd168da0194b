use super::message::{Message, Says};
use gloo::events::EventListener;
use leptos::prelude::*;
use std::rc::Rc;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{BroadcastChannel, MessageEvent};

/// Where all windows of this page in this browser hear each other.
const NAME: &str = "nudgeproof.class";

/// A way to talk to the other windows, for as long as the page lives.
#[derive(Clone, Copy)]
pub(super) struct Channel(StoredValue<Option<Rc<BroadcastChannel>>, LocalStorage>);

impl Channel {
    /// Calls for each message of another window. Where the browser has no such channel nothing is heard.
    pub(super) fn open(hear: impl Fn(Message) + 'static) -> Self {
        let channel = BroadcastChannel::new(NAME).ok().map(Rc::new);
        if let Some(channel) = &channel {
            EventListener::new(channel, "message", move |event| {
                let data = event.dyn_ref::<MessageEvent>().and_then(|e| e.data().as_string());
                if let Some(message) = data.and_then(|text| Message::read(&text)) {
                    hear(message);
                }
            })
            .forget();
        }
        Self(StoredValue::new_local(channel))
    }

    /// Says something to, or as, the page of the class.
    pub(super) fn say(self, class: String, says: Says) {
        let text = Message { class, says }.write();
        self.0.with_value(|channel| {
            if let Some(channel) = channel {
                // A text can always be posted.
                let _ = channel.post_message(&JsValue::from_str(&text));
            }
        });
    }
}
