//! Whole runs come out as the forecast says, for small motions of the part.

use nudgeproof::cell::{FixturePlay, Part, held_back_parts, parts};
use nudgeproof::forecast::SeamForecast;
use nudgeproof::lesson::model_routine;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Action, Header, Session, Study, Tally};

/// References that are taken, and parts that are welded by each.
const REFERENCES: u64 = 300;
const PARTS: usize = 40;

/// Play so small that only the touches scatter.
const SHARE_OF_PLAY: f64 = 0.01;

fn small(play: FixturePlay) -> FixturePlay {
    let [dx, dy, dz] = [play.dx, play.dy, play.dz].map(|mm| mm * SHARE_OF_PLAY);
    let [turn_deg, tilt_deg] = [play.turn_deg, play.tilt_deg].map(|deg| deg * SHARE_OF_PLAY);
    FixturePlay { about: play.about, dx, dy, dz, turn_deg, tilt_deg }
}

fn with_small_play(mut part: Part) -> Part {
    part.play = small(part.play);
    for body in &mut part.bodies {
        body.play = body.play.map(small);
    }
    part
}

/// What the misses of the weld ends come to over many references and many parts each, and the forecast.
fn studied(part: &Part) -> (Tally, SeamForecast) {
    let routine = model_routine(part);
    let mut all = Tally::default();
    let mut forecast = None;
    for seed in 0..REFERENCES {
        let mut session = Session::new(Header::new(part.clone(), seed)).expect("a part");
        let actions = [
            Action::LoadRoutine { routine: routine.clone() },
            Action::SetReference { on: true },
            Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None },
        ];
        session.act_all(actions).expect("the reference run");
        let study = Study::new(session.state(), seed).expect("it has a reference");
        all.merge(&study.run(0..PARTS));
        forecast = Some(SeamForecast::of(session.state()));
    }
    (all, forecast.expect("at least one"))
}

/// A share of the variance comes from the references and another from the parts: each as large as the other,
/// and a variance from n values is off by √(2/n) of itself.
fn sampling_error() -> f64 {
    let [references, parts] = [REFERENCES as f64, REFERENCES as f64 * PARTS as f64];
    0.5 * (0.5 / references + 0.5 / parts).sqrt()
}

#[test]
fn on_every_part_small_motions_scatter_as_forecast() {
    let mut wrong = Vec::new();
    for part in parts().into_iter().chain(held_back_parts()) {
        let (tally, forecast) = studied(&with_small_play(part.clone()));
        for end in &tally.ends {
            let weld = forecast.welds.iter().find(|w| w.seam == end.seam).expect("its seam");
            let i = usize::from(end.at_end);
            let Ok(ends) = &weld.ends else { panic!("{}: {:?}", part.name, weld.ends) };
            let (found, said) = (end.across.sigma().expect("many"), ends[i].across);
            let off = found / said - 1.0;
            println!(
                "{} {} {i}: {found:.4} mm, forecast {said:.4} mm: {:+.1} %",
                part.name,
                end.seam,
                off * 100.0
            );
            if off.abs() > 4.0 * sampling_error() {
                wrong.push(format!("{}: {} {i}", part.name, end.seam));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}
