use proptest::prelude::*;

use super::*;

fn source() -> Source {
    Source {
        text: "invented for this test".into(),
        date: "2026".into(),
        from_memory: false,
    }
}

fn band(low_mhz: f64, high_mhz: f64) -> Band {
    Band {
        low_mhz,
        high_mhz,
        status: Status::Primary,
        power: None,
        width_limit_hz: None,
        data: true,
        note: String::new(),
        source: source(),
    }
}

fn allocation(bands: Vec<Band>) -> Allocation {
    Allocation {
        name: "test".into(),
        title: "Test".into(),
        source: source(),
        identification: None,
        bands,
        segments: Vec::new(),
        note: String::new(),
    }
}

fn used(centre_mhz: f64, width_hz: f64) -> ChannelUse {
    ChannelUse {
        centre_mhz,
        width_hz,
        power_w: 5.0,
    }
}

#[test]
fn both_edges_count() {
    let a = allocation(vec![band(7.0, 7.2)]);
    assert!(check(&a, &used(7.1, 500.0)).is_empty());
    // 7.19975 + 0.00025 is the edge itself: allowed. A hertz more is not.
    assert!(check(&a, &used(7.199_75, 500.0)).is_empty());
    let over = check(&a, &used(7.199_751, 500.0));
    assert!(
        matches!(over[..], [Finding::OverEdge { edge_mhz, by_hz }] if edge_mhz == 7.2 && (by_hz - 1.0).abs() < 0.01),
        "{over:?}"
    );
    let under = check(&a, &used(7.0, 500.0));
    assert!(
        matches!(under[..], [Finding::OverEdge { edge_mhz, by_hz }] if edge_mhz == 7.0 && (by_hz - 250.0).abs() < 0.01)
    );
    let outside = check(&a, &used(7.25, 500.0));
    assert_eq!(
        outside,
        [Finding::Outside {
            nearest_mhz: Some((7.0, 7.2))
        }]
    );
}

#[test]
fn bands_that_meet_are_one_and_gaps_are_not() {
    let meeting = allocation(vec![band(7.0, 7.1), band(7.1, 7.2)]);
    assert!(check(&meeting, &used(7.1, 2_400.0)).is_empty());
    let apart = allocation(vec![band(7.0, 7.099_9), band(7.1, 7.2)]);
    let found = check(&apart, &used(7.1, 2_400.0));
    assert!(matches!(found[..], [Finding::OverEdge { edge_mhz, .. }] if edge_mhz == 7.099_9));
    // Wider than the whole band: over both edges.
    let narrow = allocation(vec![band(5.358, 5.359)]);
    assert_eq!(check(&narrow, &used(5.3585, 2_800.0)).len(), 2);
}

#[test]
fn limits_of_width_power_and_kind() {
    let limited = Band {
        power: Some(PowerLimit {
            power_w: 4.0,
            basis: PowerBasis::Transmitter,
        }),
        width_limit_hz: Some(400.0),
        data: false,
        ..band(10.1, 10.15)
    };
    let found = check(&allocation(vec![limited]), &used(10.14, 500.0));
    assert_eq!(found.len(), 3);
    assert!(found.iter().all(|f| f.weight() == Weight::Refused));
    let radiated = |basis| Band {
        power: Some(PowerLimit { power_w: 8.0, basis }),
        ..band(5.3515, 5.3665)
    };
    // 5 W into a half-wave dipole: 5 W ERP, 8.2 W EIRP (2.15 dB).
    assert!(check(&allocation(vec![radiated(PowerBasis::Erp)]), &used(5.36, 500.0)).is_empty());
    let found = check(&allocation(vec![radiated(PowerBasis::Eirp)]), &used(5.36, 500.0));
    assert!(matches!(found[..], [Finding::PerhapsTooStrong { radiated_w, .. }] if (radiated_w - 8.2).abs() < 1e-9));
    assert_eq!(found[0].weight(), Weight::Mind);
}

#[test]
fn the_narrowest_part_of_the_plan_counts() {
    let segment = |low_mhz, high_mhz, width_limit_hz| Segment {
        low_mhz,
        high_mhz,
        width_limit_hz,
        note: String::new(),
        source: source(),
    };
    let a = Allocation {
        segments: vec![segment(7.04, 7.05, 500.0), segment(7.05, 7.2, 2_700.0)],
        ..allocation(vec![band(7.0, 7.2)])
    };
    assert!(check(&a, &used(7.052, 2_400.0)).is_empty());
    let found = check(&a, &used(7.051, 2_400.0));
    assert!(matches!(found[..], [Finding::WiderThanPlan { limit_hz, .. }] if limit_hz == 500.0));
    assert_eq!(found[0].weight(), Weight::Mind);
}

#[test]
fn kept_free_ranges_are_found_at_their_edges() {
    let list = [Reserved {
        low_mhz: 9.995,
        high_mhz: 10.005,
        kind: ReservedKind::StandardTime,
        what: "10 MHz".into(),
        source: source(),
    }];
    assert_eq!(reserved_by(&list, &used(10.005_2, 500.0)).count(), 1);
    assert_eq!(reserved_by(&list, &used(10.005_25, 500.0)).count(), 0);
    assert_eq!(reserved_by(&list, &used(f64::NAN, 500.0)).count(), 0);
    assert_eq!(ReservedKind::StandardTime.weight(), Weight::Refused);
    assert_eq!(ReservedKind::Beacon.weight(), Weight::Mind);
}

#[test]
fn data_that_make_no_sense_are_refused() {
    let bad = |bands| allocation(bands).checked().is_err();
    assert!(bad(vec![]));
    assert!(bad(vec![band(7.2, 7.0)]));
    assert!(bad(vec![band(f64::NAN, 7.0)]));
    assert!(bad(vec![band(7.0, 7.2), band(7.1, 7.3)]));
    assert!(bad(vec![Band {
        width_limit_hz: Some(0.0),
        ..band(7.0, 7.2)
    }]));
    assert!(allocation(vec![band(7.0, 7.2), band(7.2, 7.3)]).checked().is_ok());
}

proptest! {
    /// A channel is fine exactly when both its edges and all between them lie in the bands, by counting hertz.
    #[test]
    fn agrees_with_a_count_of_hertz(
        edges in proptest::collection::vec(0u32..2_000, 2..8), centre in 0u32..2_000, width in 2u32..300,
    ) {
        let mut sorted = edges;
        sorted.sort_unstable();
        sorted.dedup();
        let bands: Vec<(u32, u32)> = sorted.chunks_exact(2).map(|p| (p[0], p[1])).collect();
        prop_assume!(!bands.is_empty());
        // One step is a hertz, from 7 MHz up.
        let mhz = |hz: f64| 7.0 + hz / 1e6;
        let a = allocation(bands.iter().map(|(l, h)| band(mhz(f64::from(*l)), mhz(f64::from(*h)))).collect());
        let half = width / 2;
        let whole = 2 * half;
        let inside = |hz: i64| bands.iter().any(|(l, h)| (i64::from(*l)..i64::from(*h)).contains(&hz));
        let low = i64::from(centre) - i64::from(half);
        let all = (low..low + i64::from(whole)).all(inside);
        let found = check(&a, &used(mhz(f64::from(centre)), f64::from(whole)));
        prop_assert_eq!(found.is_empty(), all, "{:?}", found);
    }

    #[test]
    fn nothing_panics(centre in any::<f64>(), width in any::<f64>(), power in any::<f64>()) {
        let a = allocation(vec![band(7.0, 7.2)]);
        let channel = ChannelUse { centre_mhz: centre, width_hz: width, power_w: power };
        let _ = check(&a, &channel);
        let _ = a.nearest_band(centre);
    }
}
