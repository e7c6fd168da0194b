//! English: every sentence that the library says to a learner.
//!
//! Blanks are the values of the key, `{Step}` with a capital letter; `{60 mm/s}` is a length of the text
//! itself. Another language is one more table of the same keys.

/// Gives `with!` every sentence: its key, the names of its values, its text.
macro_rules! every_sentence {
    ($with:ident) => {
        $with! {
            // Names of what there is
            the(thing): "the {thing}",
            comma(first, next): "{first}, {next}",
            and(first, last): "{first} and {last}",
            or(first, last): "{first} or {last}",
            semicolon(first, next): "{first}; {next}",
            two_sentences(first, second): "{first} {second}",
            full_stop(clause): "{Clause}.",

            // Steps
            step(number, what): "step {number} ({what})",
            go_to(point): "go to {point}",
            sensing_on(): "sensing on",
            feel_from(point): "feel from {point}",
            sensing_off(): "sensing off",
            find(place): "find {place}",
            follow(place): "follow {place}",
            stop_following(): "stop following",
            weld_from(point): "weld from {point}",
            weld_through(point): "weld through {point}",
            weld_to(point): "weld to {point}",
            trim_the_wire(): "trim the wire",

            // What a part may do
            nothing(): "nothing",
            one_way(): "slide one way",
            free_x(): "X",
            free_y(): "Y",
            free_height(): "height",
            free_turn(): "turn",
            free_tilt_x(): "tilt X",
            free_tilt_y(): "tilt Y",
            to_slide_x(): "slide along X",
            to_slide_y(): "slide along Y",
            to_sit_higher(): "sit higher or lower",
            to_turn(): "turn",
            to_tilt(): "tilt",
            slides_x(): "slides along X",
            slides_y(): "slides along Y",
            sits_higher(): "sits higher or lower",
            turns(): "turns",
            tilts(): "tilts",
            lies_by(what, by): "{what} {by}",
            body_lies(body, by): "{body}: {by}",

            // The coach on a routine
            same_goes_for_one(): "The same goes for one more step.",
            same_goes_for(count): "The same goes for {count} more steps.",
            no_home_start(step): "{Step} is the first move; it should go home, so that every run begins alike.",
            no_home_end(step): "{Step} is the last move; the torch should wait at home for the next part.",
            home_follows_part(step, place): "{Step} rides with {place}: home moves with the part. It belongs after stop following.",
            feel_follows_part(step): "{Step} rides with the part: its search no longer starts where it was taught.",
            feel_without_sensing(step): "{Step} searches without voltage on the wire: nothing is felt, and the wire is bent.",
            sensing_on_while_welding(step): "{Step} is reached with sensing on: in a run with the arc on no arc is struck, and the run stops there.",
            touch_after_find(step, find): "{Step} comes after {find}: no find uses its touch.",
            touch_without_find(step): "{Step} is felt, and no find uses its touch.",
            follow_never_stopped(step): "{Step} is never stopped.",
            even_home_rides(step): "Even {step} rides with the part.",
            follow_before_found(step, find): "{Step} comes before {find}: it follows where an earlier part lay, or stops the run if none was found.",
            wrong_place_followed(step, found): "{Step} follows a place that nothing finds; the routine finds {found}.",
            seam_not_followed(step): "{Step} does not follow the part: it goes where it was taught, wherever the part lies.",
            too_few_touches(step, may, needed, got): "{Step} asks for {may}, which takes {needed} touches; it has {got}.",
            no_touch(step, may): "{Step} asks for {may}, which takes a touch; it has none.",
            no_touch_tells_turn(find): "No face is touched twice, and the touches of {find} do not tell how far the part has turned.",
            no_touch_tells_height(find): "If the part sits higher or lower, no touch of {find} notices: touch it from above as well.",
            no_touch_tells_tilt(find): "If the part tilts, no touch of {find} notices: touch it from above in several places.",
            no_touch_tells(does, find): "If the part {does}, no touch of {find} notices: touch it from another side as well.",
            forecast(wide, point, allowed): "997 of 1000 welds come within ±{wide} of the seam at {point}: allowed ±{allowed}.",
            in_one_spot(step, other): "{Step} feels where {other} has felt: two touches in the same spot cannot show a turn, so the find is refused.",
            touches_close(one, other, apart, face, long): "{one} and {other} are {apart} apart on the {face} face, which is {long} long.",
            forecast_outside(step, forecast, touch): "{Step} does not place the weld well enough. {Forecast} Most of it comes from {touch}.",
            rough_edge(face, times): "The edge of the {face} face is rough: a touch there scatters {times} times as much.",
            freedoms_too_few(step, may, also): "{Step} solves for {may}, and this fixture also lets the part {also}.",
            freedoms_too_many(step, may, does): "{Step} asks for {may}, and none of its touches would notice if the part {does}.",
            datum_not_of_the_seam(step, met, body, seam, miss, most): "{Step} feels {met}. {Body} may lie elsewhere from part to part, and then the weld misses {seam} by up to {miss}: expected less than {most}, half of what is allowed.",
            searches_away(step): "{Step} searches away from the part: nothing lies that way.",
            meets_another(step, body, face): "{Step} meets {body} instead of the {face} face.",
            nozzle_meets_first(step, body, face): "On {step} the nozzle meets {body} before the wire touches the {face} face.",
            runs_along(step, body): "{Step} runs along {body} instead of into it.",
            face_is_behind(step, face): "{Step} searches away from the {face} face, which is on the other side.",
            two_faces_of_one_name(step, face, other): "{Step} is for the {face} face, as {other} is, and the two meet different faces.",
            not_square(step, face, angle, within): "{Step} meets the {face} face {angle} off square: expected within {within}.",
            not_square_once(step, face, angle, errs, allowed): "{Step} meets the {face} face {angle} off square, and no other touch tells how this face lies: where the part slides as far as it may, the find errs by {errs}, expected less than {allowed}.",
            reach_too_short(step, needed, face, reach): "{Step} may have to search {needed} before it meets the {face} face: its reach is {reach}.",
            starts_against(step, body): "{Step} starts with the wire against {body}.",
            starts_too_close(step, gap, face, nearer): "{Step} starts {gap} before the {face} face, and there the part may lie up to {nearer} nearer.",
            may_already_be_there(step, body): "{Step} starts so close that {body} may already be there when the torch arrives.",
            feel_too_fast(step, speed, most, further): "{Step} lets the wire search at {speed}: expected at most {most}. At each touch the torch overruns by {further} more than the wire springs back from, and the wire stays bent.",
            tip_over(step, by, body, face): "{Step} has the wire tip {by} above {body}: it passes over the {face} face.",
            tip_over_and_behind(step, by, body, face, behind): "{Step} has the wire tip {by} above {body}: it passes over the {face} face and touches {behind} behind it.",
            tip_near_edge(step, below, face, least): "{Step} has the wire tip {below} below the top edge of the {face} face: expected at least {least}.",
            edge_may_lie_lower(step, below, face, lower, more): "{Step} has the wire tip {below} below the top edge of the {face} face, and there the part may lie up to {lower} lower: expected {more} more than that.",
            tip_in_table(step, least): "{Step} has the wire tip below the table: expected at least {least} above it.",
            tip_near_table(step, above, least): "{Step} has the wire tip {above} above the table: expected at least {least}.",
            tip_too_low(step, body, face): "{Step} has the wire tip so low that the nozzle meets {body} before the wire touches the {face} face.",
            tip_inside(step, body): "{Step} starts with the wire in {body}: the tip has to be above it.",
            may_miss_face(step, face): "{Step} may miss the {face} face where the part lies as far off as the fixture lets it.",
            may_meet_instead(step, other, face): "{Step} may meet {other} instead of the {face} face where the part lies as far off as the fixture lets it.",
            the_corner(): "the corner",
            straight_on(face, point): "After the touch on the {face} face the torch goes straight on to {point}: first it has to back off or rise.",
            nozzle_after_touch(face, step, body): "After the touch on the {face} face, on {step}, the nozzle meets {body}: first the torch has to back off or rise.",
            wire_after_touch(face, step, body): "After the touch on the {face} face, on {step}, the wire meets {body}: first the torch has to back off or rise.",
            nozzle_meets(step, body): "On {step} the nozzle meets {body}: the way has to lead clear of it.",
            wire_meets(step, body): "On {step} the wire meets {body}: the way has to lead clear of it.",
            nozzle_meets_at(step, body, limit): "On {step} the nozzle meets {body} where the part lies as far off as the fixture lets it ({limit}): the way has to lead clear of it.",
            wire_meets_at(step, body, limit): "On {step} the wire meets {body} where the part lies as far off as the fixture lets it ({limit}): the way has to lead clear of it.",
            torch_ran_into(step, body): "On {step} the torch ran into {body}: the way there has to lead clear of it.",
            entered_alone(step): "{Step} has no move before it: expected a point off the seam and near it.",
            entered_from(step, other): "{Step} is entered straight from {other}: expected a point off the seam and near it before.",
            entered_from_at(step, other, away, least, most): "{Step} is entered straight from {other}, {away} from the seam: expected a point {least} to {most} off it before.",
            left_alone(step): "{Step} has no move after it: expected a point off the seam and near it.",
            left_for(step, other): "{Step} is left straight for {other}: expected a point off the seam and near it after.",
            left_for_at(step, other, away, least, most): "{Step} is left straight for {other}, {away} from the seam: expected a point {least} to {most} off it after.",
            weld_without_end(step): "{Step} has no end: the arc is never put out.",
            weld_without_start(step): "{Step} has no weld start before it: nothing is welded.",
            stands_in_a_weld(start, step): "Between {start} and its weld end stands {step}: the run stops there.",
            beyond_the_seam(point, by, seam, most): "{point} is taught {by} beyond the end of {seam}: expected at most {most}.",
            short_of_the_seam(point, by, seam, most): "{point} is taught {by} short of the end of {seam}: expected at most {most}.",
            wire_passes_by(point, lies, angle, by, allowed): "{point} is taught {lies}: the wire, which leans by {angle}, passes it by {by}, allowed {allowed}.",
            work_too_far(point, lies, by, allowed): "{point} is taught {lies}: the tip-to-work distance is off by {by}, allowed {allowed}.",
            away_from_plate(by, seam): "{by} away from the upright plate of {seam}",
            into_plate(by, seam): "{by} into the upright plate of {seam}",
            away_from_sheet(by, seam): "{by} away from the upper sheet of {seam}",
            into_sheet(by, seam): "{by} into the upper sheet of {seam}",
            away_from_upper(by, seam): "{by} away from the upper plate of {seam}",
            into_upper(by, seam): "{by} into the upper plate of {seam}",
            towards_wall(by, wall, seam): "{by} from {seam} towards {wall}",
            above_seam(by, seam): "{by} above {seam}",
            below_seam(by, seam): "{by} below {seam}",
            beside_seam(seam): "beside {seam}",
            above(by): "{by} above",
            below(by): "{by} below",

            // The coach on a session
            no_reference_run(run): "Run {run} compares this part with a reference, and there was no reference run before it.",
            no_whole_reference_run(run): "Run {run} compares, and no reference run before it got as far as its find.",
            flag_left_on(run): "Run {run} was made with the reference flag still on: it learned once more instead of comparing.",
            flag_left_on_moved(run): "Run {run} was made with the reference flag still on: it took the moved part for the reference.",
            reference_retaken(run): "Run {run} was made with the reference flag on after the part had moved: the reference is overwritten, and the weld points no longer belong to it.",
            reference_away(run, by, angle): "In reference run {run} the part lay {by} and {angle} away from where the weld points were taught.",
            no_proof_run(run): "Run {run} is the first that compares, and the part had been moved already: nothing proved the routine before.",
            proof_offset_ignored(run, by, limit, later): "Run {run} found a weld end {by} beside its place though nothing had moved: expected less than {limit}. Run {later} was made on a moved part all the same.",
            arc_on_first_moved_part(run, reference): "Run {run} welded on a moved part. Since the reference of run {reference}, no run on a moved part had got past the weld with the arc off.",
            never_at_reduced_speed(run, most): "Run {run} was at full speed, and the routine had never been run at reduced speed (at most {most}).",
            not_whole_at_reduced_speed(run, most): "Run {run} was at full speed, and the routine as it then was had not once been run to its last step at reduced speed (at most {most}).",
            arc_in_trial(run, kind): "The arc was on in run {run}, a {kind}: trials are made with the arc off.",
            a_reference_run(): "reference run",
            a_proof_run(): "proof run",
            a_trial_run(): "trial run",
            entered_live_cell(did, when): "{Did} {when}, and the cell was not locked out.",
            entered_live_cell_sensing(did, when): "{Did} {when}, and the cell was not locked out, and the wire carried sensing voltage.",
            part_moved_by_hand(): "the part was moved by hand",
            wire_cut_by_hand(): "the wire was cut by hand",
            put_right_by_hand(): "something in the cell was put right by hand",
            in_a_pause(run): "in a pause of run {run}",
            before_run(run): "before run {run}",
            before_the_first_run(): "before the first run",
            after_run(run): "after run {run}",
            happened_once_more(): "The same happened once more.",
            happened_more(count): "The same happened {count} times more.",
            part_moved_mid_run(run): "In run {run} the part was moved after its first touch: what was found no longer holds for it.",
            feel_edited(run, what): "Between the reference run and run {run} {what} was changed: the reference no longer fits. It takes a new one, with the part where the points were taught.",
            the_feel_from(point): "the feel from {point}",
            the_sensing_speed(speed): "the sensing speed (now {speed})",
            the_number_of_feels(): "the number of feels",
            untrimmed_wire(run, face): "In run {run} the touch on the {face} face was felt with the ball that the arc had left on the wire: it reads late and scatters more.",
            stick_out_changed(run, now, was): "In run {run} the stick-out is {now}; in the reference run it was {was}. The touches from above are off by the difference.",
            wire_bent_and_used(run, bend, face, by): "In run {run} the part was felt with a bent wire: its tip stood {bend} beside where it should be, and the touch on the {face} face is off by {by}.",
            feel_taken_out(run, face, later): "In run {run} the search on the {face} face found nothing, and for run {later} its feel was deleted: find out why it found nothing, and mend that.",
            nothing_changed(run, face, later): "In run {run} the search on the {face} face found nothing, and up to run {later} nothing was changed: find out why it found nothing, and mend that.",
            disagreement_ignored(run, worst): "In run {run} the touches disagree by {worst}, more than their scatter explains in 99 runs of 100, and the torch went on to the weld all the same.",
            offset_beyond_play(run, by): "In run {run} the offset is {by} larger than this fixture allows, and it was followed all the same.",
            point_off_reference(point, by, angle): "{point} was taught with the part {by} and {angle} away from where it lay in the reference run, and nothing carried it back: it is wrong on every part from now on.",
            point_off_others(point, by, angle): "{point} was taught with the part {by} and {angle} away from where it lay when the other weld points were taught, and nothing carried it back: it is wrong on every part from now on.",
            unexplained_miss(run, by, allowed): "Run {run} missed the seam by {by}, allowed {allowed}, and no rule explains it.",
            unexplained_end(run, by, allowed): "Run {run} missed: its weld is off by {by} along the seam, allowed {allowed}, and no rule explains it.",
            unexplained_distance(run, by, allowed): "Run {run} missed: its tip-to-work distance was off by {by}, allowed {allowed}, and no rule explains it.",
            unexplained_stop(run, why): "Run {run} stopped ({why}), and no rule explains it.",
            it_is_not_that(one): "It is not that {one}.",
            it_is_not_either(one, other): "It is not that {one}, or that {other}.",
            touches_disagree(): "the touches disagree",
            a_feel_was_changed(): "a feel was changed since the reference",
            look_next(): "Look next at the wire, at what each touch really met, at the part, and at the weld points.",

            // What a mistake costs
            miss_is_smaller(by): "the miss happens to be {by} smaller: another error points the other way",
            and_smaller(event, by): "{event}, and the miss happens to be {by} smaller: another error points the other way",
            stops_at_speed(stop, speed): "{stop}, at up to {speed}",
            unseen_at_speed(speed): "the torch goes at up to {speed} where nobody has seen it go",
            burns_in_trial(long): "in a trial the arc burns along {long}",
            person_in_reach(): "a person was within reach of a torch that could have moved at any moment",
            person_and_voltage(): "a person was within reach of a torch that could have moved at any moment, and of a wire under voltage",
            stops_with_arc(stop): "{stop} with the arc on, which a dry run would have shown first",
            burns_beside(by): "the arc burns {by} beside the seam, which a dry run would have shown first",
            burns_too_far(): "the arc burns with the tip at the wrong distance from the work, which a dry run would have shown first",
            part_was_risked(): "the part was risked on a path that nobody had seen follow a moved part; this time it landed",
            away_from_home(by): "the torch ends {by} away from home",
            nothing_is_welded(): "nothing is welded",
            wire_is_bent_on(body): "the wire is bent on {body}",

            // What happens in a run
            ran_into(body): "The nozzle ran into {body}. The run stopped.",
            bent_on(body, by): "The wire is bent on {body}, by {by}.",
            touched(number, face): "Touch {number}, face {face}",
            touched_at(number, face, x, y): "Touch {number}, face {face}, at X {x}, Y {y}",
            felt_nothing(number, face): "Search {number}, face {face}, felt nothing within its reach",
            touched_before(number, face, body): "Search {number}, face {face}: the wire touched {body} before it began",
            not_felt(number, face, body): "Search {number}, face {face}: the wire met {body} and nothing was felt",
            and_stopped(what): "{what}. The run stopped.",
            run_stopped(): "The run stopped.",
            sensing_is_on(): "Sensing on",
            sensing_is_off(): "Sensing off",
            reference_stored(place): "Reference of {place} stored",
            reference_again(place): "Reference of {place} stored over the one before",
            place_found(place): "Found {place}",
            place_not_found(place, why): "{place} not found: {why}. The run stopped.",
            follow_begins(place): "Following {place}",
            follow_ends(): "No longer following",
            home_carried(by): "Home was carried along, {by} off",
            arc_on(): "Arc on",
            arc_off(): "Arc off",
            wire_trimmed(): "Wire trimmed",
            part_moved(): "The part moved",
            cannot_do(why): "Cannot be done: {why}. The run stopped.",

            // Why a run stops
            nozzle_runs_into(body): "the nozzle runs into {body}",
            search_starts_against(face, body): "the search on the {face} face starts with the wire against {body}",
            pressed_against(body): "the wire is pressed against {body} and feels nothing",
            finds_nothing(face): "the search on the {face} face finds nothing",
            cannot_be_found(place, why): "{place} cannot be found: {why}",
            not_weld_through(): "only weld-through steps may stand between a weld start and its weld end",
            not_found_yet(place): "place {place} has not been found yet",
            no_direction(): "the search has no direction",
            not_taught(point): "point {point} has not been taught",
            carries_voltage(): "the wire carries sensing voltage: the arc is not struck",
            no_weld_started(): "no weld has been started",
            found_twice(place): "{place} has been found by an earlier step: what this step finds needs a name of its own",
            nothing_felt(): "no touch has been felt since the last find",
            left_out(may): "this fixture leaves {may} free as well, and no find asks for it",
            no_reference(place): "place {place} has no reference to compare with",
            no_reference_touch(face): "the touch on the {face} face was not made in the reference run",

            // Why a place cannot be found
            cannot_solve(why): "cannot solve: {why}",
            touch_number(number): "touch {number}",
            touch_on(number, face): "touch {number} ({face})",
            unusable_search(touch): "{touch}: the search direction is not usable: give it a length within the directions that count",
            unusable_reference(touch): "{touch}: the taught contact is not a place in the cell",
            unusable_contact(touch): "{touch}: the contact found is not a place in the cell",
            bad_repeatability(is): "the touch repeatability is {is}: it must be a positive length",
            no_contact(touch): "{touch} found nothing: no contact, so the part cannot be located",
            no_freedom(): "nothing is named that the part may have done: name at least one freedom to solve for",
            one_touch_needed(may): "to solve for {may} takes 1 touch and there are 0: add 1 or allow the part fewer freedoms",
            touches_needed(may, needed, got, missing): "to solve for {may} takes {needed} touches and there are {got}: add {missing} or allow the part fewer freedoms",
            touches_needed_one(may, needed, missing): "to solve for {may} takes {needed} touches and there is 1: add {missing} or allow the part fewer freedoms",
            not_parallel(touch, angle): "{touch} searches {angle} off the first touch: to slide one way needs all searches parallel",
            face_mismatch(touch, other, face): "{touch} and {other} both stand for the {face} face but search from opposite sides: give them different faces",
            both_too_close(face, apart, least): "both touches on the {face} face are {apart} apart: too close to measure a turn; spread them at least {least}",
            all_too_close(count, face, apart, least): "all {count} touches on the {face} face are {apart} apart: too close to measure a turn; spread them at least {least}",
            grazing(touch, face, angle, least): "{touch} runs along the {face} face: {angle} between search and face, at least {least} needed; search square to the face",
            free_along(direction): "no touch holds the part along {direction}: touch a face that looks that way",
            free_about(x, y, z, axis): "the part can turn about ({x}, {y}, {z}), axis {axis}, and every reading stays: all contact normals meet that axis; move a touch so that its search passes well beside it",
            axis_z(): "Z",
            direction(x, y, z): "({x}, {y}, {z})",
            wrong_side(angle, touch): "the touches fit only with the part turned by {angle}, so that {touch} would meet its face from behind: check which face each touch really met",
            fits_nowhere(): "the touches fit no position of the part within a quarter turn: check which face each touch really met",

            // Why an action is refused
            no_step(id): "there is no step with id {id}",
            no_such_place(at, len): "place {at} is past the end of a routine of {len} steps",
            no_point(point): "there is no point named {point}",
            point_exists(point): "there is a point named {point} already",
            no_body(name): "the part has no body named {name} that moves by itself",
            empty_name(): "a name needs at least one letter",
            not_finite(what): "{what} is not a finite number",
            too_far(what, is, within): "{what} is {is}, and it must be within ±{within}",
            out_of_range(what, is, above, most): "{what} is {is}, and it must be above {above} and at most {most}",
            step_id_too_large(id, most): "the id of a step is {id}, and it must be at most {most}",
            coordinate_of_torch(): "a coordinate of the torch",
            coordinate_of_point(): "a coordinate of the point",
            shift_of_part(): "a shift of the part",
            turn_of_part(): "a turn of the part",
            the_speed(): "the sensing speed",
            the_reach(): "the reach",
            the_stick_out(): "the stick-out",
            a_step(): "step",
            a_point(): "point",
            stands_twice(what, name): "{what} {name} stands twice in the routine",
            no_fault(name, known): "there is no fault named {name}; expected one of {known}",
            as_a_file_has_it(problem): "{problem}",
            is_locked_out(): "the cell is locked out: make it ready first",
            nothing_paused(): "no run is paused",

            // The score
            no_production_run(): "No production run on a moved part yet.",
            no_weld(run): "Run {run} made no weld.",
            on_the_seam(run, miss, allowed): "The path of run {run} is on the seam: {miss} across it, allowed ±{allowed}. Nothing was welded, the arc was off.",
            landed(run, miss, allowed): "The weld of run {run} landed: {miss} across the seam, allowed ±{allowed}.",
            stopped_early(run): "Run {run} stopped before its last step.",
            missed(run, miss, allowed): "The weld of run {run} missed: {miss} across the seam, allowed ±{allowed}.",
            missed_end(run, by, allowed): "The weld of run {run} missed: one of its ends is off by {by} along the seam, allowed {allowed}.",
            missed_distance(run, by, allowed): "The weld of run {run} missed: the tip-to-work distance is off by {by}, allowed {allowed}.",
            no_findings(): "no findings",
            one_finding(rule): "one finding ({rule})",
            rules_with_findings(count): "{count} rules have findings",
            asked_for(rules, help): "{rules}, {help} asked for",
            one_hint(): "one hint",
            hints(count): "{count} hints",
            one_mend(): "one mend",
            mends(count): "{count} mends",
            still_to_come(rules, what): "{rules}; {what} is still to come",
            a_first_run(): "a first run",
            the_reference_run(): "the reference run",
            the_proof_run(): "the proof run",
            the_production_run(): "the production run",
            nothing_run(): "Nothing has been run yet.",
            nothing_at_risk(): "Nothing was put at risk.",
            put_at_risk(what): "Put at risk: {what}.",
            one_crash(): "one crash",
            crashes(count): "{count} crashes",

            // What a look shows
            seen_wire_straight(): "The wire is straight and clean, and stands out as usual. So was the end that the cutter took off last.",
            seen_wire_bent(side): "The tip of the wire is bent {side}.",
            bent_left(): "to the left on the plan",
            bent_right(): "to the right on the plan",
            bent_up(): "upwards on the plan",
            bent_down(): "downwards on the plan",
            seen_cut_off_bent(side): "Under the cutter lies the end that was cut off last: it is bent {side}.",
            seen_cut_off_ball(): "Under the cutter lies the end that was cut off last: there is a ball on it, though no arc has burned in that run.",
            seen_ball(): "There is a ball at the end of the wire.",
            seen_wire_longer(): "The wire stands out longer than usual.",
            seen_wire_shorter(): "The wire stands out shorter than usual.",
            seen_nozzle_clear(): "There is some spatter on the rim of the nozzle, as after every weld. The gap inside is clear, and the hole of the contact tip is round.",
            seen_bridge(): "Spatter lies across the gap between the nozzle and the contact tip.",
            seen_tip_worn(): "The hole of the contact tip is worn: the wire can be wiggled in it.",
            seen_lead_on(): "The work lead is tight.",
            seen_lead_off(): "The work lead hangs loose.",
            seen_settings(speed): "The sensing speed is set to {speed}, as the routine asks.",
            seen_other_speed(speed, asked): "The sensing speed is set to {speed}. The routine asks for {asked}.",
            seen_clamps_hold(): "The clamps stand at their marks and hold. The part cannot be pushed.",
            seen_clamp_moved(clamp): "{Clamp} stands away from its mark.",
            seen_clamp_loose(): "The part can be pushed by hand: a clamp does not hold it.",
            seen_clamp_worn(): "The face of a clamp is worn hollow: the part sits deeper in it than it should.",
            seen_edges_clean(): "The edges where the wire touches are clean and smooth.",
            seen_paint(face): "There is thick paint on the {face} face where the wire touches.",
            seen_tack(face): "A tack weld sticks out of the {face} face where the wire touches.",
            seen_rough(face): "The {face} face is rough. The drawing has a machined one.",
            seen_square(): "The try square fits. The upright plate stands where the drawing has it, and does not move.",
            seen_out_of_square(): "The try square shows light: the part is out of square.",
            seen_upright_moved(body): "{Body} does not stand where the drawing has it: its tacks have let go.",
            seen_tag(title): "The tag says: {title}. So does the drawing.",
            seen_other_tag(title): "The tag says: {title}. The drawing says otherwise.",
            seen_no_bead(): "There is no bead: nothing has been welded yet.",
            seen_bead_on_seam(): "The bead lies on the seam.",
            seen_bead_on_plate(): "The bead lies beside the seam, on the upright plate.",
            seen_bead_off_plate(): "The bead lies beside the seam, away from the upright plate.",

            // The score of a lesson
            question_answered(right): "{right} of 1 question answered rightly.",
            questions_answered(right, asked): "{right} of {asked} questions answered rightly.",
            causes_not_found(): "what is wrong has not been found yet",
            causes_at_once(): "all of it was named at once",
            causes_after(wrong, missing): "all of it was named in the end; wrong before: {wrong}, left out before: {missing}",
            evidence_tells(): "The evidence fits: with another cause it would look different.",
            evidence_tells_some(told, all): "For {told} of {all} causes the evidence tells it from another cause.",
            evidence_tells_nothing(): "The evidence pointed at would be the same with another cause.",
            not_mended(): "It is not mended yet.",
            mended_alone(): "Mended, and nothing else was touched.",
            mended_after_one(): "Mended, after one mend of what was not broken.",
            mended_after(count): "Mended, after {count} mends of what was not broken.",
            shift_lost(scrap, stops, lost, least): "parts welded beside the seam: {scrap}, stops without cause: {stops}, minutes lost: {lost}, of which the best decisions lose {least}",
            minutes_used(used, least): "{used} minutes used; the cheapest way takes {least}.",
        }
    };
}
pub(super) use every_sentence;

/// Gives `with!` the texts of every rule of the coach, in the order of `RuleName`.
macro_rules! every_rule_text {
    ($with:ident) => {
        $with! {
            NoHomeStart {
                title: "The routine does not begin at home",
                asks: "The first move goes home, to the same point as the last.",
                hints: [
                    "Where is the torch before the first step, and who says so?",
                    "Look at the first move of the routine.",
                    "Put a joint move to home before everything else.",
                ],
            }
            NoHomeEnd {
                title: "The routine does not end at home",
                asks: "The last move goes home, to the same point as the first.",
                hints: [
                    "Where does the torch wait while the next part is loaded?",
                    "Look at the last move of the routine.",
                    "Add a joint move to home after everything else.",
                ],
            }
            HomeFollowsPart {
                title: "Home moves with the part",
                asks: "No move home stands between follow and stop following: home does not move with the part.",
                hints: [
                    "Which points belong to the part, and which to the cell?",
                    "Look at the rail beside the routine: which steps ride with the part?",
                    "Move home out of the follow: stop following comes before a move home, and follow after it.",
                ],
            }
            FeelFollowsPart {
                title: "A search rides with the part",
                asks: "No feel stands inside a follow, unless it refines another place on purpose.",
                hints: [
                    "Where must a search start, so that what it finds tells how far the part has moved?",
                    "Look at the rails of sensing and follow: do they overlap?",
                    "Put follow after the find, so that every search starts where it was taught.",
                ],
            }
            FeelWithoutSensing {
                title: "A search without voltage on the wire",
                asks: "Every feel stands between sensing on and sensing off.",
                hints: [
                    "How does the controller know that the wire has touched?",
                    "Look at the sensing rail: is there a feel that it does not span?",
                    "Put sensing on before the first feel, and sensing off after the last.",
                ],
            }
            SensingOnWhileWelding {
                title: "Sensing is still on at the weld",
                asks: "Sensing is off before the arc is struck.",
                hints: [
                    "What does the wire carry when the weld begins?",
                    "Follow the sensing rail down: where does it end?",
                    "Put sensing off after the last touch.",
                ],
            }
            TouchesNeverUsed {
                title: "Touches that no find uses",
                asks: "Every touch belongs to a find.",
                hints: [
                    "What does the controller do with a touch, and at which step?",
                    "Which find comes after this feel? Where none does, its touch is lost.",
                    "Put find after the last feel of its place, or delete a feel that stands twice.",
                ],
            }
            FollowNeverStopped {
                title: "Following is never stopped",
                asks: "Every follow has its stop following.",
                hints: [
                    "Which of the moves after the weld still ride with the part?",
                    "Follow the rail down from follow: where does it end?",
                    "Put stop following after the retreat and before the move home.",
                ],
            }
            FollowBeforeFound {
                title: "Follow comes before the find",
                asks: "Follow comes after the find of its place.",
                hints: [
                    "What does the controller know of this part at the moment it begins to follow?",
                    "Which comes first: follow, or find?",
                    "Move follow to just after the find.",
                ],
            }
            WrongPlaceFollowed {
                title: "Another place is followed than the one found",
                asks: "Follow names a place that the routine finds.",
                hints: [
                    "Under which name does the find keep what it has worked out?",
                    "Compare the place in find with the place in follow.",
                    "Let follow name the place that is found.",
                ],
            }
            SeamNotFollowed {
                title: "The weld does not ride with the part",
                asks: "Approach, weld start, weld end and retreat all stand between follow and stop following.",
                hints: [
                    "Which points must move when the part moves?",
                    "Look at the rail: does it span the whole weld, from approach to retreat?",
                    "Put follow before the approach and stop following after the retreat.",
                ],
            }
            TooFewTouches {
                title: "Too few touches",
                asks: "The touches can fix every freedom that is ticked.",
                hints: [
                    "How many things may the part have done, and how many touches tell of them?",
                    "Count the feels before the find against the boxes ticked in it.",
                    "Each box ticked takes a touch of its own: add what is missing, or untick what the part cannot do.",
                ],
            }
            OneSidedTouches {
                title: "The touches look from one side only",
                asks: "A part that slides two ways is touched from two sides; one that also turns, twice along one face, or far apart on several; one that may sit higher, from above.",
                hints: [
                    "For each way that the part can go: which reading would change?",
                    "Compare the directions of the feels with the ways the part can go.",
                    "Add what is missing: for a slide a touch on a face square to the others, for a turn a second one along a face, for height one from above.",
                ],
            }
            ShortBaseline {
                title: "The touches on a face are too close together",
                asks: "Touches on one face are far enough apart for the forecast at the seam to stay inside tolerance.",
                hints: [
                    "Two readings are each off by {0.1 mm}. How far apart must they be to tell a small turn?",
                    "Look at the two touches on one face, and at how long the face is.",
                    "Move one of the two touches towards the other end of the face.",
                ],
            }
            ForecastOutsideTolerance {
                title: "The touches are too coarse for this weld",
                asks: "At every weld end the forecast is inside the tolerance.",
                hints: [
                    "If nothing but the readings changed from run to run, how far would the weld stray to either side?",
                    "Look at the forecast in the chart, and at the touch that the weld end depends on most.",
                    "Feel more slowly, add a touch, touch a smoother edge, or touch nearer to the weld.",
                ],
            }
            FreedomsTooFew {
                title: "The part can do more than the find solves for",
                asks: "The find has a tick for everything that the fixture lets the part do.",
                hints: [
                    "Push the part with your hand: what can it do in this fixture?",
                    "Compare what the find lets the part do with the play of the fixture.",
                    "Tick all that the fixture lets the part do, and feel for it.",
                ],
            }
            FreedomsTooMany {
                title: "The find asks for more than the touches can tell",
                asks: "The find has ticks only for what the fixture lets the part do and the touches can tell.",
                hints: [
                    "Which touch would tell you about each thing the find asks for?",
                    "Compare the boxes of the find with the directions of its touches.",
                    "Untick what no touch tells, or add a touch that tells it.",
                ],
            }
            DatumNotOfTheSeam {
                title: "The touches are on another body than the seam",
                asks: "Where bodies move by themselves, the body that carries the seam is touched.",
                hints: [
                    "Which body carries this seam, and does it lie alike on every part?",
                    "Compare the bodies that the touches meet with the one that the weld runs along.",
                    "Feel the body that carries the seam, for the place that the weld follows.",
                ],
            }
            SearchMissesFace {
                title: "The search does not meet its face",
                asks: "The search direction meets the face it is meant for.",
                hints: [
                    "Follow the arrow of this search: what does it run into?",
                    "Compare the search direction with the face it is named for.",
                    "Turn the search towards its face, or give the face that it meets its own name.",
                ],
            }
            SearchNotSquare {
                title: "The search meets its face at a slant",
                asks: "The search meets its face squarely: within 15° where the face is touched twice or more, closer where it is touched once.",
                hints: [
                    "If the part slides along this face, does the reading of the touch stay the same?",
                    "Compare the arrow of the search with the face that it meets: are they square to each other?",
                    "Turn the search so that it runs square into its face.",
                ],
            }
            ReachTooShort {
                title: "The search gives up too soon",
                asks: "The reach covers the gap in front of the face, and all that the fixture lets the part move away.",
                hints: [
                    "If the part lies as far away as the fixture allows, does the wire still get there?",
                    "Compare the reach in sensing on with the gap in front of the face, plus the fixture's play.",
                    "Give sensing on a longer reach, or teach the point nearer to the face.",
                ],
            }
            StartTooClose {
                title: "The search starts too close to the part",
                asks: "The search starts clear of the part, wherever the fixture lets it lie.",
                hints: [
                    "If the part lies as near as the fixture allows, is there still a gap before the wire?",
                    "Compare the gap in front of the face with the fixture's play.",
                    "Teach the point further away from the face, against the search direction.",
                ],
            }
            FeelTooFast {
                title: "The searches are too fast for the wire",
                asks: "The torch feels no faster than the wire can bear: at most {60 mm/s}.",
                hints: [
                    "The wire has touched. How far does the torch run on before it stops?",
                    "Compare the speed in sensing on with the greatest speed that does not bend the wire.",
                    "Give sensing on a speed of {20 mm/s}, and no more than {60 mm/s}.",
                ],
            }
            TouchHeight {
                title: "The wire tip is at the wrong height for the face",
                asks: "While it feels a side, the wire tip is below the top edge of its face and above the table, and the nozzle clears everything.",
                hints: [
                    "Seen from the side, what does the wire meet first, and what does the nozzle meet?",
                    "In the elevation, compare the wire tip with the top edge of the face, and with the table.",
                    "Teach the point again at a height where the wire meets the face below its top edge and the nozzle stays clear.",
                ],
            }
            TouchNearCorner {
                title: "The touch may slip off its face",
                asks: "The touch stays on its face, wherever the fixture lets the part lie.",
                hints: [
                    "When the part slides, the face slides under the search. What does the wire meet then?",
                    "Compare the distance to the next corner, or the next clamp, with the fixture's play.",
                    "Move the point along the face, further away from the corner or the clamp.",
                ],
            }
            NoClearMove {
                title: "The torch does not move clear",
                asks: "The torch rises or backs off between faces and after feeling.",
                hints: [
                    "The wire has just touched a face. Which way is out?",
                    "Look at the move after the touch: does it lead through the part, or through a clamp?",
                    "Add a move to a point off the part, higher up, before the torch goes elsewhere.",
                ],
            }
            WayBlockedAtLimit {
                title: "The way is blocked once the part has moved",
                asks: "Travel and weld clear clamps and part, wherever the fixture lets the part lie.",
                hints: [
                    "When the part lies as far to one side as it may, what does the torch pass on its way?",
                    "Look at this step on the plan and in the elevation: how far is it from clamps and part?",
                    "Lead the way over the obstacle, or further around it: add a point higher up before this step.",
                ],
            }
            NoApproach {
                title: "The weld is entered without an approach",
                asks: "The weld is entered by a point off the seam and near it, which follows the part.",
                hints: [
                    "From which side, and from how far, does the torch come to the seam?",
                    "Look at the step before the weld start.",
                    "Add a move to a point {30 to 60 mm} off the seam, just before the weld start.",
                ],
            }
            NoRetreat {
                title: "The weld is left without a retreat",
                asks: "The weld is left by a point off the seam and near it, which follows the part.",
                hints: [
                    "The arc is out. Which way does the torch leave the joint?",
                    "Look at the step after the weld end.",
                    "Add a move to a point {30 to 60 mm} off the seam, just after the weld end.",
                ],
            }
            WeldNotClosed {
                title: "A weld has only one end",
                asks: "Every weld start has its weld end, with nothing but welding between them.",
                hints: [
                    "Where is the arc struck, and where is it put out?",
                    "Look for a weld start without a weld end, a weld end without a weld start, or a step between them that does not weld.",
                    "Put weld end after its weld start, at the other end of the seam, and move any other step out from between them.",
                ],
            }
            WeldPointOffSeam {
                title: "A weld point is not on the seam",
                asks: "Weld points are taught on a seam, within its tolerance, in height as well. A weld begins and ends at most {5 mm} from the ends of its seam.",
                hints: [
                    "On a part that has not moved, where does this weld point lie against the seam?",
                    "Look at the weld point on the plan and in the elevation, with the part where it was taught.",
                    "Teach the weld point again, with the wire tip on the seam.",
                ],
            }
            NoReferenceRun {
                title: "There was no reference run",
                asks: "A reference run comes before any run with the flag off.",
                hints: [
                    "What does the controller compare this part with?",
                    "Look at the runs: was there one with the reference flag on before the flag was off?",
                    "Put the part where the points were taught, turn the reference flag on, run once at reduced speed, turn it off.",
                ],
            }
            ReferenceFlagLeftOn {
                title: "The reference flag was left on",
                asks: "The reference flag goes off after the reference run.",
                hints: [
                    "What does a run with the flag on do with its touches?",
                    "Look at the switch beside Run: does this run learn or compare?",
                    "Turn the reference flag off, then make the proof run.",
                ],
            }
            ReferenceRetakenOnMovedPart {
                title: "The reference was taken again on a moved part",
                asks: "While the part lies away from where the weld is taught, no run is made with the flag on: that overwrites the reference, and the taught points no longer belong to it.",
                hints: [
                    "Which part do the taught weld points belong to?",
                    "Look at the run that was made with the flag on after the part had moved.",
                    "Put the part back where the points were taught, turn the flag on, run, turn it off.",
                ],
            }
            ReferenceAwayFromTaught {
                title: "The reference was taken in another place than the points",
                asks: "The reference is taken with the part where the weld points were taught.",
                hints: [
                    "Where did the part lie when you taught the weld points, and where did it lie in the reference run?",
                    "Compare the part's place in the reference run with the place it was taught in.",
                    "Put the part back where the points were taught and make the reference run again.",
                ],
            }
            NoProofRun {
                title: "The first run that compares was made on a moved part",
                asks: "The first run with the flag off is made before the part is moved.",
                hints: [
                    "How do you know that the routine finds no offset where nothing has moved?",
                    "Look at the first run with the flag off: had the part been moved already?",
                    "With the part still in place, run once with the flag off: the offset must come out as next to nothing: no weld end moves by more than its forecast spread and {0.3 mm}.",
                ],
            }
            ProofOffsetIgnored {
                title: "The proof run found an offset where nothing had moved",
                asks: "The proof run finds next to nothing, or its cause is looked for before a part is moved.",
                hints: [
                    "What should a run find on a part that has not moved?",
                    "Compare the offset of the proof run with its forecast: can that be chance?",
                    "Look at wire, faces and the part's seat, then take a new reference and prove it.",
                ],
            }
            ArcOnFirstMovedPart {
                title: "The first weld on a moved part was not tried dry",
                asks: "After each new reference, the first run on a moved part is made with the arc off, and gets past the weld.",
                hints: [
                    "What had been seen of the path on a moved part before the arc burned there?",
                    "Look at the runs between the reference and this one: did one follow the moved part past its weld with the arc off?",
                    "Nudge the part, run with the arc off, and turn the arc on once that run has got past the weld.",
                ],
            }
            FirstRunTooFast {
                title: "Full speed before a whole run at reduced speed",
                asks: "A changed routine runs at reduced speed until it has once gone through to its last step.",
                hints: [
                    "If a point is wrong, how much time is there to stop the torch?",
                    "Look at the runs since the routine was changed: has one at reduced speed gone through to its last step?",
                    "Choose reduced speed until the changed routine has once gone through to its last step.",
                ],
            }
            ArcInTrial {
                title: "The arc was on in a trial run",
                asks: "Trial runs are made with the arc off.",
                hints: [
                    "What would an arc do in a run that is only there to find mistakes?",
                    "Look at the arc switch of the reference run and the proof run.",
                    "Leave the arc off until the reference run, the proof run and a dry run on a moved part have gone well.",
                ],
            }
            EnteredLiveCell {
                title: "Hands were in the cell while it could run",
                asks: "Hands go into the cell only while it is locked out.",
                hints: [
                    "What could the torch have done while your hands were beside the part?",
                    "Look at the cell's switch: how did it stand when the part was moved or the wire was cut?",
                    "Lock the cell out, do what hands have to do, and make it ready once nobody is in it.",
                ],
            }
            PartMovedMidRun {
                title: "The part was moved in the middle of a run",
                asks: "Nothing moves the part between its touches and its weld.",
                hints: [
                    "What do the touches say about a part that moves after it was touched?",
                    "Look at the time line: where does the part move, before or after its touches?",
                    "Give the run up if it is not over, and make it again from the first step, with the part left alone.",
                ],
            }
            FeelEditedAfterReference {
                title: "A touch was changed after the reference run",
                asks: "After a change of a point, a direction or the speed of a feel there is a new reference run on the unmoved part.",
                hints: [
                    "Do the touches of this run and those of the reference run start alike?",
                    "Look at what has been changed in the feels since the reference run.",
                    "Put the part back where the points were taught, flag on, run, flag off.",
                ],
            }
            UntrimmedWire {
                title: "The part was felt with the wire as the arc had left it",
                asks: "The wire is trimmed between an arc and the next feel.",
                hints: [
                    "What does the end of the wire look like after a weld?",
                    "Look at what happens to the wire between the last weld and the first feel.",
                    "Trim the wire after the weld, before the torch goes home, or cut it by hand before the next run.",
                ],
            }
            StickOutChanged {
                title: "The stick-out is not what it was",
                asks: "Before a search along the wire, the stick-out is what it was in the reference run.",
                hints: [
                    "The controller knows where the tip should be. Where is the end of the wire?",
                    "Compare the stick-out now with the stick-out of the reference run.",
                    "Give the wire the stick-out that it had in the reference run.",
                ],
            }
            WireBentAndUsed {
                title: "A part was felt with a bent wire",
                asks: "A wire that may be bent is cut back or trimmed before the next feel.",
                hints: [
                    "After a bump, does the end of the wire still stand where the controller believes?",
                    "Look at the wire in the close-up before the run.",
                    "Cut the wire back to its stick-out, or trim it, before the next feel.",
                ],
            }
            NoTouchIgnored {
                title: "A search that found nothing was passed over",
                asks: "When a search finds nothing, its cause is mended; the feel is not deleted, nor the run just made once more.",
                hints: [
                    "The wire found nothing. What are the possible reasons?",
                    "Look at the run that stopped: which search was it, and what has been changed there since?",
                    "Keep the feel, or put it back, and mend what keeps it from touching: its point, its direction, the reach, the voltage or the part's place.",
                ],
            }
            DisagreementIgnored {
                title: "The touches disagreed, and the torch went on to the weld",
                asks: "Touches that fail the agreement test are looked into before welding.",
                hints: [
                    "If all touches were true, would they disagree this much?",
                    "Look at the squareness residual of the last run, and at which touch it is largest.",
                    "Look for paint, a burr, a clamp in the way or a bent wire, mend it, and run again.",
                ],
            }
            OffsetBeyondPlay {
                title: "An offset larger than the fixture allows was followed",
                asks: "An offset larger than the fixture allows is doubted, not followed.",
                hints: [
                    "Can the part have moved this far in this fixture?",
                    "Compare the offset with the fixture's play.",
                    "Look at the part before you weld: is it the right one, seated, and touched on the right faces?",
                ],
            }
            PointCorrectedOnMovedPart {
                title: "A weld point was taught on the moved part",
                asks: "A weld point is corrected with the part in its reference place, or in a paused run that follows the part.",
                hints: [
                    "Is the place you correct the place on this part, or on the part the point was taught on?",
                    "Which weld point was taught after the part had moved?",
                    "Correct the point on the part in its reference place, or in a paused run while it follows the part.",
                ],
            }
            UnexplainedMiss {
                title: "A run missed or stopped, and no rule explains it",
                asks: "A run that missed or stopped is looked into before the next part.",
                hints: [
                    "What was different in this run from the proof run?",
                    "Compare what each touch really met with the face it was meant for, and the wire with a straight one.",
                    "Cut the wire, put the part back, make a proof run, and see whether its offset is next to nothing.",
                ],
            }
        }
    };
}
pub(super) use every_rule_text;
