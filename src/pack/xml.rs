//! Small XML documents, written by quick-xml.

use crate::files::Problem;
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

/// An element with attributes, and with a text or elements in it.
pub(crate) struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, String)>,
    text: String,
    inside: Vec<Element>,
}

impl Element {
    pub(crate) fn new(name: &'static str) -> Self {
        Self { name, attributes: Vec::new(), text: String::new(), inside: Vec::new() }
    }

    pub(crate) fn with(mut self, attribute: &'static str, value: &str) -> Self {
        self.attributes.push((attribute, value.to_owned()));
        self
    }

    pub(crate) fn text(mut self, text: &str) -> Self {
        text.clone_into(&mut self.text);
        self
    }

    pub(crate) fn holding(mut self, element: Element) -> Self {
        self.inside.push(element);
        self
    }

    /// The document of which it is the root.
    pub(crate) fn document(&self) -> Result<String, Problem> {
        let mut writer = Writer::new_with_indent(Vec::new(), b' ', 1);
        let head = Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None));
        writer
            .write_event(head)
            .and_then(|()| self.write(&mut writer))
            .map_err(|e| e.to_string())?;
        String::from_utf8(writer.into_inner()).map_err(|e| e.to_string())
    }

    fn write(&self, writer: &mut Writer<Vec<u8>>) -> std::io::Result<()> {
        let attributes = self.attributes.iter().map(|(name, value)| (*name, value.as_str()));
        let start = BytesStart::new(self.name).with_attributes(attributes);
        if self.text.is_empty() && self.inside.is_empty() {
            return writer.write_event(Event::Empty(start));
        }
        writer.write_event(Event::Start(start))?;
        if !self.text.is_empty() {
            writer.write_event(Event::Text(BytesText::new(&self.text)))?;
        }
        for element in &self.inside {
            element.write(writer)?;
        }
        writer.write_event(Event::End(BytesEnd::new(self.name)))
    }
}
