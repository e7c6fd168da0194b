use js_sys::{Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};

/// What the script is found by.
const NAME: &str = "courseSystem";

/// The course system, as the script hands it to the program.
pub(super) struct CourseSystem(JsValue);

impl CourseSystem {
    pub(super) fn find() -> Option<Self> {
        let found = Reflect::get(&js_sys::global(), &NAME.into()).ok()?;
        found.is_object().then_some(Self(found))
    }

    /// A text that it has for the program.
    pub(super) fn text(&self, key: &str) -> Option<String> {
        Reflect::get(&self.0, &key.into()).ok()?.as_string().filter(|text| !text.is_empty())
    }

    pub(super) fn tell(&self, text: &str) {
        if let Ok(tell) = Reflect::get(&self.0, &"tell".into())
            && let Ok(tell) = tell.dyn_into::<Function>()
        {
            // A course system that does not answer must not end the lesson.
            let _ = tell.call1(&self.0, &text.into());
        }
    }
}

/// Whether the page stands in a course system, which is told what is learned.
pub(crate) fn is_here() -> bool {
    CourseSystem::find().is_some()
}
