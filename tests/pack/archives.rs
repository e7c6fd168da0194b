//! The packages for course systems, as the standards ask for them.

use crate::page::{packed, page, text, traces};
use nudgeproof_pack::{Course, Files, pack};
use roxmltree::{Document, Node};
use std::io::{Cursor, Read as _};

/// The files of an archive; fails if one has a time or a path that is not its own.
fn unzipped(files: &Files, name: &str) -> Files {
    let mut archive = zip::ZipArchive::new(Cursor::new(files[name].clone())).expect("an archive");
    let mut all = Files::new();
    for n in 0..archive.len() {
        let mut file = archive.by_index(n).expect("a file");
        let name = file.name().expect("a name").into_owned();
        let year = file.last_modified().map(|time| time.year());
        assert_eq!(year, Some(1980), "{name}: the first year there is");
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).expect("its bytes");
        all.insert(name, bytes);
    }
    all
}

fn with_launch(launch: &str) -> Result<Files, String> {
    pack(&page(), &Course { launch: Some(launch.into()) }, "Licences", &traces())
}

fn child<'a>(node: Node<'a, 'a>, name: &str) -> Node<'a, 'a> {
    let mut all = node.children().filter(|n| n.tag_name().name() == name);
    let found = all.next().unwrap_or_else(|| panic!("{name} in {:?}", node.tag_name()));
    assert!(all.next().is_none(), "one {name}");
    found
}

/// SCORM 1.2, Content Aggregation Model, 2.3 (content packaging); what course systems check of it.
#[test]
fn the_scorm_package_has_its_manifest_at_the_root_and_lists_every_file() {
    let files = unzipped(&packed(&page()).expect("packed"), "nudgeproof-scorm12.zip");
    let document = Document::parse(text(&files, "imsmanifest.xml")).expect("XML");
    let manifest = document.root_element();
    assert_eq!(
        manifest.tag_name().namespace(),
        Some("http://www.imsproject.org/xsd/imscp_rootv1p1p2")
    );
    let metadata = child(manifest, "metadata");
    assert_eq!(child(metadata, "schema").text(), Some("ADL SCORM"));
    assert_eq!(child(metadata, "schemaversion").text(), Some("1.2"));
    let organizations = child(manifest, "organizations");
    let organization = child(organizations, "organization");
    assert_eq!(organizations.attribute("default"), organization.attribute("identifier"));
    let item = child(organization, "item");
    assert!(child(item, "title").text().is_some_and(|t| !t.is_empty()), "it has a title");
    let resource = child(child(manifest, "resources"), "resource");
    assert_eq!(item.attribute("identifierref"), resource.attribute("identifier"));
    assert_eq!(resource.attribute("type"), Some("webcontent"));
    let adl = "http://www.adlnet.org/xsd/adlcp_rootv1p2";
    assert_eq!(resource.attribute((adl, "scormtype")), Some("sco"), "else it is not tracked");
    let start = resource.attribute("href").expect("a start");
    assert!(files.contains_key(start), "{start} is in the package");
    let named = resource.children().filter_map(|n| n.attribute("href"));
    let named: std::collections::BTreeSet<_> = named.collect();
    let there =
        files.keys().map(String::as_str).filter(|name| *name != "imsmanifest.xml").collect();
    assert_eq!(named, there, "every file, and no other");
    assert!(!files.contains_key("sw.js"), "no service worker within a course system");
}

/// cmi5, course structure (AICC `CMI-5_Spec_Current`, 13 and 14).
#[test]
fn the_cmi5_package_describes_one_course_with_one_unit_that_has_to_be_passed() {
    let files = unzipped(&packed(&page()).expect("packed"), "nudgeproof-cmi5.zip");
    let document = Document::parse(text(&files, "cmi5.xml")).expect("XML");
    let root = document.root_element();
    assert_eq!(root.tag_name().name(), "courseStructure");
    let namespace = "https://w3id.org/xapi/profiles/cmi5/v1/CourseStructure.xsd";
    assert_eq!(root.tag_name().namespace(), Some(namespace));
    let (course, unit) = (child(root, "course"), child(root, "au"));
    for (node, what) in [(course, "course"), (unit, "unit")] {
        assert!(node.attribute("id").is_some_and(|id| id.starts_with("urn:uuid:")), "{what}");
        for name in ["title", "description"] {
            let said = child(child(node, name), "langstring");
            assert_eq!(said.attribute("lang"), Some("en"), "{name} of the {what}");
            assert!(said.text().is_some_and(|t| !t.is_empty()), "{name} of the {what}");
        }
    }
    assert_ne!(course.attribute("id"), unit.attribute("id"));
    // Left out it would mean: everything is done at once.
    assert_eq!(unit.attribute("moveOn"), Some("Passed"));
    assert_eq!(unit.attribute("masteryScore"), Some("0.8"));
    let start = child(unit, "url").text().expect("a start");
    assert!(files.contains_key(start), "{start} is in the package");
}

#[test]
fn a_set_up_goes_with_both_packages() {
    let launch = "format = \"nudgeproof-class\"\nformat_version = 1\nstart = { lesson = \"one-touch\" }\nseed = 12\n";
    let packed = with_launch(launch).expect("packed");
    let scorm = unzipped(&packed, "nudgeproof-scorm12.zip");
    let document = Document::parse(text(&scorm, "imsmanifest.xml")).expect("XML");
    let data = document.descendants().find(|n| n.tag_name().name() == "datafromlms");
    assert_eq!(data.and_then(|n| n.text()), Some(launch));
    let cmi5 = unzipped(&packed, "nudgeproof-cmi5.zip");
    let document = Document::parse(text(&cmi5, "cmi5.xml")).expect("XML");
    let data = document.descendants().find(|n| n.tag_name().name() == "launchParameters");
    assert_eq!(data.and_then(|n| n.text()), Some(launch));
}

#[test]
fn a_set_up_that_is_too_long_for_scorm_is_refused() {
    let refused = with_launch(&"x".repeat(256)).expect_err("too long");
    assert!(refused.contains("at most 255") && refused.contains("256"), "{refused}");
}
