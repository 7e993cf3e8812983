//! Grout and the room for it.

// The cases are outside a test function.
#![allow(clippy::unwrap_used)]

use restrand_mechanics::filling::{
    GroutMix, bags, free_litres_per_m, grout_by_densities, litres_by_density, pump_rate_l_per_min,
};

use crate::example::{Example, Kind};

const LITRES_PER_FT3: f64 = 28.316_846_592;
const LITRES_PER_GAL: f64 = 3.785_411_784;
const KG_PER_LB: f64 = 0.453_592_37;
const MM_PER_IN: f64 = 25.4;
const M_PER_FT: f64 = 0.3048;
const STRAND_MM2: f64 = 0.217 * MM_PER_IN * MM_PER_IN;

pub(crate) fn examples() -> Vec<Example> {
    let mut all = article();
    all.extend(neat_grout());
    all.extend(room());
    all
}

/// A bag of 94 lb with 5 gallons of water.
fn article() -> Vec<Example> {
    let row = |what, input, printed, within, ours| Example {
        block: "A15",
        kind: Kind::Published,
        source: "Concrete Construction magazine, \"volume of grout\"",
        what,
        input,
        printed,
        within,
        ours,
        explained: None,
    };
    // The article's 41.7 lb for five gallons.
    let (cement_kg, water_kg) = (94.0 * KG_PER_LB, 41.7 * KG_PER_LB);
    let mix = GroutMix {
        water_cement_ratio: water_kg / cement_kg,
        cement_density_kg_per_m3: 3150.0,
        water_density_kg_per_m3: water_kg / (5.0 * LITRES_PER_GAL) * 1000.0,
        bag_kg: cement_kg,
    };
    let with_water = grout_by_densities(&mix).unwrap();
    let alone = grout_by_densities(&GroutMix { water_cement_ratio: 0.0, ..mix }).unwrap();
    let water = with_water.litres_per_bag - alone.litres_per_bag;
    let pcf = KG_PER_LB / LITRES_PER_FT3 * 1000.0;
    let unit_weight = 3.86 * KG_PER_LB / (0.033 * LITRES_PER_FT3) * 1000.0;
    let by_weight = litres_by_density(cement_kg, water_kg, 117.0 * pcf).unwrap();
    let input = "94 lb cement of density 3.15, 5 gal water";
    let mut rows = vec![
        row(
            "volume of the cement, ft3",
            input,
            0.478,
            0.0005,
            alone.litres_per_bag / LITRES_PER_FT3,
        ),
        row("volume of the water, ft3", input, 0.667, 0.0005, water / LITRES_PER_FT3),
        row(
            "volume of the grout, ft3",
            input,
            1.145,
            0.0005,
            with_water.litres_per_bag / LITRES_PER_FT3,
        ),
        row("unit weight, lb/ft3", "3.86 lb fill 0.033 ft3", 117.0, 0.5, unit_weight / pcf),
        row(
            "volume by unit weight, ft3",
            "41.7 + 94 lb at 117 lb/ft3",
            1.16,
            0.005,
            by_weight / LITRES_PER_FT3,
        ),
    ];
    rows[1].explained = Some(
        "the source has 5 x 8.33 lb over 62.4 lb/ft3, 0.6675, cut off; 5 gal are 0.6684 ft3 by definition",
    );
    rows[2].explained = Some("as the water: the source adds 0.478 and 0.667");
    rows
}

fn neat_grout() -> Vec<Example> {
    let row = |what, input, printed, within, ours| Example {
        block: "A15",
        kind: Kind::Arithmetic,
        source: "neat grout, cement of density 3.15, water 1000 kg/m3 or 62.4 lb/ft3",
        what,
        input,
        printed,
        within,
        ours,
        explained: None,
    };
    let mut rows = Vec::new();
    for (input, ratio, per_kg, per_bag, ft3, density) in [
        ("w/c 0.45", 0.45, 0.7675, 38.37, 1.1561, 1.889),
        ("w/c 0.40", 0.40, f64::NAN, 35.87, 1.0808, 1.951),
    ] {
        let grout = |bag_kg, water_kg_per_m3| {
            grout_by_densities(&GroutMix {
                water_cement_ratio: ratio,
                cement_density_kg_per_m3: 3.15 * water_kg_per_m3,
                water_density_kg_per_m3: water_kg_per_m3,
                bag_kg,
            })
            .unwrap()
        };
        let metric = grout(50.0, 1000.0);
        if per_kg.is_finite() {
            rows.push(row("volume per kg of cement, L", input, per_kg, 5e-5, metric.litres_per_kg));
        }
        // The inch column takes water at 62.4 lb/ft3, which is 999.6 kg/m3.
        let inch_water = 62.4 * KG_PER_LB / LITRES_PER_FT3 * 1000.0;
        let inch = grout(94.0 * KG_PER_LB, inch_water).litres_per_bag / LITRES_PER_FT3;
        rows.push(row("volume per 50 kg, L", input, per_bag, 0.005, metric.litres_per_bag));
        rows.push(row("volume per 94 lb, ft3", input, ft3, 5e-5, inch));
        rows.push(row("density, t/m3", input, density, 5e-4, metric.density_kg_per_m3 / 1000.0));
    }
    rows
}

/// 19 strands of 0.6 in in a 4 in pipe of DR 17 at its average wall.
fn room() -> Vec<Example> {
    let row = |block, what, printed, within, ours| Example {
        block,
        kind: Kind::Arithmetic,
        source: "free section, bore 3.939 in",
        what,
        input: "19 x 0.217 in2",
        printed,
        within,
        ours,
        explained: None,
    };
    let inner_mm = 3.939 * MM_PER_IN;
    let free = free_litres_per_m(inner_mm, 19.0 * STRAND_MM2).unwrap();
    let per_ft = free * M_PER_FT;
    let sacks = bags(100.0 * per_ft, 1.145 * LITRES_PER_FT3).unwrap();
    let metric = free_litres_per_m(inner_mm, 19.0 * 140.0).unwrap();
    let rate = |speed| pump_rate_l_per_min(speed, free).unwrap();
    vec![
        row("A15", "free section, in2", 8.063, 5e-4, free * 1000.0 / (MM_PER_IN * MM_PER_IN)),
        row("A15", "volume of 100 ft, ft3", 5.599, 5e-4, 100.0 * per_ft / LITRES_PER_FT3),
        row("A15", "sacks of 1.145 ft3 for 100 ft", 4.89, 0.005, sacks.exact),
        row("A15", "free volume with 140 mm2 a strand, L/m", 5.202, 5e-4, metric),
        row("volume", "free section, in2", 8.06, 0.005, free * 1000.0 / (MM_PER_IN * MM_PER_IN)),
        row("volume", "free volume, ft3/ft", 0.0560, 5e-5, per_ft / LITRES_PER_FT3),
        row("volume", "free volume, gal/ft", 0.419, 5e-4, per_ft / LITRES_PER_GAL),
        row("volume", "free volume, L/m", 5.20, 0.005, free),
        row("volume", "rate of the pump at 5 m/min, L/min", 26.0, 0.5, rate(5.0)),
        row("volume", "rate of the pump at 15 m/min, L/min", 78.0, 0.5, rate(15.0)),
    ]
}
