//! What can be known of a part's job before it is taught in the cell.

use nudgeproof::cell::{Draft, Template, parts};
use nudgeproof::lesson::{LayoutChoice, best_layouts, rehearsed};
use nudgeproof::session::{Study, Tally};

/// Every template as it is filled in at first: the best layouts hold, each with more touches is no worse, and
/// its routine runs over the whole play.
#[test]
fn the_best_layouts_of_every_template_run_and_get_better_with_more_touches() {
    for template in Template::ALL.iter().copied() {
        let part = Draft::new(template, "Trial").part().expect("as it is filled in at first");
        let own = LayoutChoice::of(&part).expect("its own layout holds");
        let best = best_layouts(&part, &[]);
        assert_eq!(best.len(), 3, "{template:?}: with the fewest, one and two more");
        let same = best.iter().filter(|b| b.touches >= own.touches);
        assert!(same.clone().all(|b| b.share <= own.share * 1.01), "{template:?}: {}", own.share);
        for (fewer, more) in best.iter().zip(&best[1..]) {
            assert!(more.touches > fewer.touches && more.share <= fewer.share, "{template:?}");
            assert!(more.searching_s > fewer.searching_s, "{template:?}: a touch takes time");
        }
        for choice in &best {
            let by_compass = ["east", "west", "north", "south"];
            let mut faces = choice.part.model_touches.iter().map(|t| t.face.as_str());
            let mixed = faces.find(|face| face.split(' ').any(|word| by_compass.contains(&word)));
            assert_eq!(mixed, None, "{template:?}: faces are named as in the template");
            let session = rehearsed(&choice.part, 1).expect("it can be used");
            let tally = Study::new(session.state(), 1).expect("a reference").run(0..50);
            assert_eq!(tally.stopped, 0, "{template:?}, {}: {:?}", choice.touches, tally.stops);
        }
    }
}

#[test]
fn a_face_that_is_kept_out_is_not_touched() {
    let part = parts().remove(0);
    let out = ["west".to_owned()];
    let best = best_layouts(&part, &out);
    assert!(!best.is_empty());
    for choice in best {
        assert!(choice.part.model_touches.iter().all(|t| t.face != "west"), "{}", choice.touches);
    }
}

/// A tally that went to another thread as JSON and came back adds up as the one that stayed.
#[test]
fn a_tally_is_the_same_once_it_was_sent() {
    let session = rehearsed(&parts().remove(0), 1).expect("a part");
    let study = Study::new(session.state(), 1).expect("a reference");
    for range in [0..0, 0..40] {
        let tally = study.run(range);
        let text = serde_json::to_string(&tally).expect("it can be written");
        assert_eq!(serde_json::from_str::<Tally>(&text).expect("it can be read"), tally);
        assert!(text.len() < 20_000, "only bins that hold something: {} bytes", text.len());
    }
}
