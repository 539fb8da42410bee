//! Projective maps from marks against general-purpose libraries: `homographies.py` beside this file, run with
//! OpenCV 5.0.0, scikit-image 0.26.0, SciPy 1.17.1 and NumPy 2.4.6, gave the figures.

use spile::adjust::rectify::{Mark, Noise, Rectified, projective};
use spile::shape::Point;

const HERE: [[f64; 2]; 8] = [
    [685.7, -2074.4],
    [2252.9, -1994.1],
    [748.8, -1232.9],
    [2028.7, -1191.8],
    [1229.4, -2814.7],
    [2169.2, -1499.1],
    [664.8, -1558.1],
    [1892.6, -2769.5],
];
const THERE: [[f64; 2]; 8] = [
    [1097.0, 801.0],
    [1102.0, -799.0],
    [3103.0, 1049.0],
    [3098.0, -1051.0],
    [252.0, 249.0],
    [2101.0, -998.0],
    [2099.0, 1003.0],
    [249.0, -252.0],
];
const PROBES: [[f64; 2]; 3] = [[1500.0, -3600.0], [900.0, -2000.0], [2500.0, -1200.0]];

struct Reference {
    marks: usize,
    /// `cv2.findHomography(here, there, 0)`, which stops some digits before the least sum of squares.
    opencv: [[f64; 2]; 3],
    /// `scipy.optimize.least_squares` of the residuals in the plane, to the last digit.
    plane: [[f64; 2]; 3],
    /// The same with noise on both sides, the true points of the picture as further unknowns.
    both: [[f64; 2]; 3],
    /// Standard deviations of the probes for 2 mm in the plane, from SciPy's Jacobian.
    deviations: Option<[f64; 3]>,
}

const REFERENCES: [Reference; 3] = [
    Reference {
        marks: 4,
        opencv: [
            [-270.32077167582213, 87.73531974176922],
            [1194.7499612351185, 598.7334763647623],
            [3004.6748543753697, -1813.8635518031824],
        ],
        plane: [
            [-270.32053662112304, 87.73535907467364],
            [1194.7500815520195, 598.7335018005488],
            [3004.674643876744, -1813.8633995219216],
        ],
        both: [
            [-270.32053662112224, 87.73535907467317],
            [1194.7500815520198, 598.7335018005485],
            [3004.674643876744, -1813.8633995219216],
        ],
        deviations: None,
    },
    Reference {
        marks: 6,
        opencv: [
            [-266.858473336728, 86.39464802451296],
            [1195.7051666652685, 597.8444760220377],
            [3006.2480900410997, -1813.226226214327],
        ],
        plane: [
            [-266.8584797529719, 86.39463476949227],
            [1195.705263326564, 597.8444905480668],
            [3006.2478632762372, -1813.225965351988],
        ],
        both: [
            [-266.1686491444242, 86.36850381851369],
            [1195.5361767593786, 597.7622661044834],
            [3006.944531692514, -1814.157142033589],
        ],
        deviations: Some([2.986261385590406, 1.5743205074327655, 3.398909176999957]),
    },
    Reference {
        marks: 8,
        opencv: [
            [-270.1702936160517, 86.71757062515609],
            [1196.346068116305, 598.6935654799777],
            [3006.449839605813, -1813.8047321227948],
        ],
        plane: [
            [-270.170308087517, 86.71758054384065],
            [1196.3461695255999, 598.6936038347636],
            [3006.449688934459, -1813.8045324178524],
        ],
        both: [
            [-269.38515071136646, 86.54265802070512],
            [1196.1505024867893, 598.4964661542343],
            [3007.56065673613, -1814.9773381625046],
        ],
        deviations: Some([2.227169744953573, 1.30638211455306, 3.3243531795193237]),
    },
];

fn fitted(count: usize, noise: Noise) -> Rectified {
    let marks: Vec<Mark> = HERE
        .iter()
        .zip(THERE)
        .take(count)
        .map(|(here, there)| Mark {
            here: Point::new(here[0], here[1]),
            there: Point::new(there[0], there[1]),
        })
        .collect();
    projective(&marks, noise).expect("a map")
}

/// How far the probes' images lie from a library's at most.
fn apart(fit: &Rectified, theirs: &[[f64; 2]; 3]) -> f64 {
    PROBES
        .iter()
        .zip(theirs)
        .map(|(probe, there)| {
            let ours = fit
                .map
                .apply(Point::new(probe[0], probe[1]))
                .expect("in sight");
            ours.distance(Point::new(there[0], there[1]))
        })
        .fold(0.0, f64::max)
}

#[test]
fn with_noise_in_the_plane_alone_it_is_the_least_squares_of_the_libraries() {
    let even = Noise {
        here: 0.0,
        there: 1.0,
    };
    for reference in &REFERENCES {
        let fit = fitted(reference.marks, even);
        let off = apart(&fit, &reference.plane);
        assert!(off < 1e-6, "{} marks: {off}", reference.marks);
        let off = apart(&fit, &reference.opencv);
        assert!(off < 1e-3, "{} marks: {off}", reference.marks);
    }
}

#[test]
fn with_noise_on_both_sides_it_is_the_full_adjustment_but_for_the_second_order() {
    let noise = Noise {
        here: 1.5,
        there: 3.0,
    };
    for reference in &REFERENCES {
        let fit = fitted(reference.marks, noise);
        let off = apart(&fit, &reference.both);
        // Residuals of millimetres on a view of metres: their square over the view's depth.
        assert!(off < 0.05, "{} marks: {off}", reference.marks);
    }
}

#[test]
fn the_precision_of_a_point_is_that_of_the_librarys_jacobian() {
    let noise = Noise {
        here: 0.0,
        there: 2.0,
    };
    for reference in &REFERENCES {
        let Some(deviations) = reference.deviations else {
            continue;
        };
        let fit = fitted(reference.marks, noise);
        // The residuals show less noise than assumed here, or the figures would be scaled up.
        let scale = fit.noise_ratio.expect("checked").max(1.0);
        for (probe, theirs) in PROBES.iter().zip(deviations) {
            let ours = fit
                .precision_at(Point::new(probe[0], probe[1]))
                .expect("in sight");
            assert!(
                (ours / scale / theirs - 1.0).abs() < 1e-4,
                "{ours} {theirs}"
            );
        }
    }
}
