//! Lists that are read, lists that are refused, and noise.

use proptest::prelude::*;

use super::*;

const DIPOLE: &str = r#"{"wires": [{"p1": [-5, 0, 10], "p2": [5, 0, 10], "radius_m": 0.001}],
    "conductor_s_per_m": null, "source": {"wire": 0}, "loads": [], "ground": "free"}"#;

#[test]
fn the_grid_is_the_promised_one() {
    let view = solve(&parse(DIPOLE).unwrap(), 14.2).unwrap();
    assert_eq!(view.gain.len(), 12 * 18);
    for (index, gain) in view.gain.iter().enumerate() {
        assert_eq!(gain.azimuth_deg, 30.0 * (index % 12) as f64);
        assert_eq!(gain.elevation_deg, 5.0 * (index / 12 + 1) as f64);
    }
    assert!(view.azimuth.contains("counter-clockwise from +x"));
    assert!(
        (view.efficiency - 1.0).abs() < 1e-3,
        "perfect wire, no ground: {}",
        view.efficiency
    );
}

#[test]
fn azimuth_turns_from_x_to_y() {
    // A wire along x is strongest at 90°; one turned 30° counter-clockwise at 120°.
    let turned = DIPOLE
        .replace("[-5, 0, 10]", "[-4.330127, -2.5, 10]")
        .replace("[5, 0, 10]", "[4.330127, 2.5, 10]");
    for (text, broadside) in [(DIPOLE.to_owned(), 90.0), (turned, 120.0)] {
        let view = solve(&parse(&text).unwrap(), 14.2).unwrap();
        let low: Vec<&GainView> = view
            .gain
            .iter()
            .filter(|g| g.elevation_deg == 5.0 && g.azimuth_deg < 180.0)
            .collect();
        let best = low
            .iter()
            .max_by(|a, b| a.dbi.unwrap().total_cmp(&b.dbi.unwrap()))
            .unwrap();
        assert_eq!(best.azimuth_deg, broadside);
    }
}

#[test]
fn a_ground_is_a_word_or_two_numbers() {
    let with = |ground: &str| parse(&DIPOLE.replace("\"free\"", ground));
    assert_eq!(with("\"perfect\"").unwrap().list.ground, Ground::Perfect);
    let real = with(r#"{"eps_r": 13, "sigma_s_per_m": 0.005}"#).unwrap().list.ground;
    assert_eq!(
        real,
        Ground::Real {
            eps_r: 13.0,
            sigma_s_per_m: 0.005
        }
    );
    for bad in [
        "\"grass\"",
        "null",
        "7",
        "{}",
        r#"{"eps_r": 13}"#,
        r#"{"eps_r": "x", "sigma_s_per_m": 1}"#,
        "[]",
    ] {
        assert!(with(bad).unwrap_err().to_string().contains("ground"), "{bad}");
    }
}

#[test]
fn what_is_wrong_is_said() {
    let cases = [
        ("", "line 1"),
        ("{\"wires\": []}", "source"),
        (&DIPOLE.replace("\"wire\": 0", "\"wire\": 3"), "source names wire 3"),
        (
            &DIPOLE.replace("\"loads\": []", "\"loads\": [{\"wire\": 9}]"),
            "a load names wire 9",
        ),
        (&DIPOLE.replace("radius_m", "radius"), "radius"),
    ];
    for (text, part) in cases {
        let why = parse(text).unwrap_err().to_string();
        assert!(why.contains(part), "{why}");
    }
    for (from, to) in [
        ("0.001", "0"),
        ("0.001", "-1"),
        ("[5, 0, 10]", "[-5, 0, 10]"),
        ("\"free\"", "{\"eps_r\": 0.5, \"sigma_s_per_m\": 0.005}"),
        ("\"free\"", "{\"eps_r\": 13, \"sigma_s_per_m\": -1}"),
        ("{\"wire\": 0}", "{\"wire\": 0, \"position\": 1.5}"),
        ("[5, 0, 10]", "[5, 0, 1e300]"),
    ] {
        let parsed = parse(&DIPOLE.replacen(from, to, 1)).unwrap();
        assert!(solve(&parsed, 14.2).is_err(), "{from} to {to}");
    }
}

#[test]
fn keys_that_mean_nothing_are_named() {
    let view = solve(&parse(&DIPOLE.replacen('{', "{\"name\": \"mine\", ", 1)).unwrap(), 14.2).unwrap();
    assert!(view.notes.iter().any(|n| n.contains("\"name\"")), "{:?}", view.notes);
}

#[test]
fn text_fits_the_terminal() {
    let text = text(&solve(&parse(DIPOLE).unwrap(), 14.2).unwrap());
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    assert!(
        text.contains("counter-clockwise from +x") && text.contains("330°"),
        "{text}"
    );
}

/// Mostly a number of a range, sometimes one from anywhere.
fn about(range: std::ops::Range<f64>) -> impl Strategy<Value = String> + Clone {
    prop_oneof![
        30 => range.prop_map(|v| format!("{v:.4}")),
        1 => Just("0".to_owned()),
        1 => any::<f64>().prop_filter("JSON has no others", |v| v.is_finite()).prop_map(|v| format!("{v:e}")),
    ]
}

fn any_wire() -> impl Strategy<Value = String> {
    let point = (about(-8.0..8.0), about(-8.0..8.0), about(0.1..8.0)).prop_map(|(x, y, z)| format!("[{x},{y},{z}]"));
    (point.clone(), point, about(0.000_2..0.01), 0usize..9).prop_map(|(a, b, r, n)| {
        let segments = if n == 0 {
            String::new()
        } else {
            format!(",\"segments\":{n}")
        };
        format!("{{\"p1\":{a},\"p2\":{b},\"radius_m\":{r}{segments}}}")
    })
}

/// Any JSON of the right shape with numbers from everywhere.
fn any_list() -> impl Strategy<Value = String> {
    let ground = prop_oneof![
        Just("\"free\"".to_owned()),
        Just("\"perfect\"".to_owned()),
        (about(1.0..80.0), about(0.0..5.0)).prop_map(|(e, s)| format!("{{\"eps_r\":{e},\"sigma_s_per_m\":{s}}}")),
    ];
    let load = (0usize..2, about(0.0..100.0), about(0.0..1e-4), about(0.0..1e-3))
        .prop_map(|(w, r, l, c)| format!("{{\"wire\":{w},\"r_ohm\":{r},\"l_h\":{l},\"c_f\":{c}}}"));
    (
        prop::collection::vec(any_wire(), 1..4),
        prop_oneof![Just("null".to_owned()), about(1e6..6e7)],
        (0usize..2, about(0.0..1.0)),
        prop::collection::vec(load, 0..2),
        ground,
    )
        .prop_map(|(wires, sigma, (fed, position), loads, ground)| {
            format!(
                "{{\"wires\":[{}],\"conductor_s_per_m\":{sigma},\"source\":{{\"wire\":{fed},\"position\":{position}}},\"loads\":[{}],\"ground\":{ground}}}",
                wires.join(","),
                loads.join(",")
            )
        })
}

#[test]
fn many_of_any_lists_can_be_solved() {
    // Else the property below would hold of refusals alone.
    use proptest::strategy::ValueTree as _;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let solved = (0..60)
        .filter(|_| {
            let text = any_list().new_tree(&mut runner).unwrap().current();
            parse(&text).and_then(|parsed| solve(&parsed, 7.1)).is_ok()
        })
        .count();
    assert!(solved >= 15, "{solved} of 60");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn noise_never_panics(text in ".{0,200}") {
        let _ = parse(&text);
    }

    #[test]
    fn any_list_is_solved_or_refused(text in any_list()) {
        if let Ok(parsed) = parse(&text)
            && let Ok(view) = solve(&parsed, 7.1)
        {
            prop_assert!(view.r_ohm.is_finite() && view.efficiency.is_finite(), "{} {}", view.r_ohm, view.efficiency);
            prop_assert!(view.gain.iter().filter_map(|g| g.dbi).all(f64::is_finite), "gain of {text}");
        }
    }
}
