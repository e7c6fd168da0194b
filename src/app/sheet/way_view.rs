//! The ways of the torch, from above and from the front: the whole run is drawn once, each leg
//! takes another look once it is over, and only the leg under way grows with the frames.

use super::SheetView;
use crate::app::dom::{View, several, svg};
use crate::app::logic::projection::{Projection, ScreenPoint};
use crate::app::logic::shown::legs_over;
use crate::app::logic::svg_path::{self, Growing};
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Leg, RunLog};
use std::sync::Arc;

/// How one of the views draws the ways.
#[derive(Clone, Copy)]
pub(super) struct Ways {
    pub(super) spot: fn(&Projection, &Point3<f64>) -> ScreenPoint,
    /// The class of a leg that is over, or under way.
    pub(super) gone: fn(&Leg) -> &'static str,
    /// The class of a leg that is still to come.
    pub(super) ahead: fn(&Leg) -> String,
    pub(super) test_id: &'static str,
}

/// What is drawn: the run, on which sheet, and how many of its legs are over.
type Drawn = (Arc<RunLog>, Projection, usize);

impl Ways {
    /// Every leg of the run on show.
    pub(super) fn view(self) -> View {
        let (workspace, view) = (workspace(), expect_context::<SheetView>());
        let over =
            Memo::new(move |_| workspace.at_beat().map_or(0, |(log, p)| legs_over(&log, p.t)));
        let legs = svg("g").class("run").test_id(self.test_id);
        let group = legs.element::<web_sys::Element>();
        let mut drawn = None::<Drawn>;
        Effect::new(move || {
            let (projection, over, log) = (view.projection(), over.get(), workspace.log_on_show());
            let Some(log) = log else {
                group.set_inner_html("");
                drawn = None;
                return;
            };
            let same = |(l, p, _): &Drawn| Arc::ptr_eq(l, &log) && *p == projection;
            match drawn.take().filter(same) {
                Some((_, _, was)) => self.look_again(&group, &log, [was, over]),
                None => group.set_inner_html(&self.markup(&log, &projection, over)),
            }
            drawn = Some((log, projection, over));
        });
        let leg = Memo::new(move |_| {
            let log = workspace.log_on_show()?;
            let leg = log.legs.get(over.get())?;
            let projection = view.projection();
            let spots = leg.path.iter().map(|p| (self.spot)(&projection, p)).collect();
            Some((Growing::new(&leg.path, spots), leg.time, (self.gone)(leg)))
        });
        let grown = move || {
            let t = workspace.playback.get().map_or(0.0, |p| p.t);
            leg.with(|leg| {
                leg.as_ref().map_or_else(String::new, |(line, [from, to], _)| {
                    line.until((t - from) / (to - from).max(1e-9))
                })
            })
        };
        several().child(legs).child(
            svg("path")
                .class(move || leg.with(|l| l.as_ref().map_or("way", |l| l.2)))
                .attr("d", grown),
        )
    }

    fn class(&self, leg: &Leg, over: bool) -> String {
        if over { (self.gone)(leg).to_owned() } else { (self.ahead)(leg) }
    }

    fn markup(&self, log: &RunLog, projection: &Projection, over: usize) -> String {
        let mut m = SvgWriter::default();
        for (i, leg) in log.legs.iter().enumerate() {
            let spots: Vec<_> = leg.path.iter().map(|p| (self.spot)(projection, p)).collect();
            m.path(&self.class(leg, i < over), &svg_path::line(&spots, false));
        }
        m.finish()
    }

    /// Gives the legs between these two counts of legs that are over the look they now have.
    fn look_again(&self, group: &web_sys::Element, log: &RunLog, [was, over]: [usize; 2]) {
        let drawn = group.children();
        for i in was.min(over)..was.max(over).min(log.legs.len()) {
            if let Some(path) = u32::try_from(i).ok().and_then(|i| drawn.item(i)) {
                // The name is one of ours: nothing to fail.
                let _ = path.set_attribute("class", &self.class(&log.legs[i], i < over));
            }
        }
    }
}
