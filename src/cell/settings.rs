use serde::{Deserialize, Serialize};

/// Wire diameters for gas-shielded arc welding, mm (ISO 544; from memory).
pub const WIRE_DIAMETERS_MM: [f64; 6] = [0.8, 0.9, 1.0, 1.2, 1.4, 1.6];

/// Greatest speed of the tool centre point in manual reduced speed, mm/s (ISO 10218-1).
pub const REDUCED_SPEED_MM_S: f64 = 250.0;

/// What the torch and the sensing are like. Defaults are common practice, no source,
/// unless a source stands beside them.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct CellSettings {
    /// Wire diameter, mm.
    pub wire_mm: f64,
    /// Wire beyond the contact tip when the points were taught, mm.
    pub stick_out_mm: f64,
    /// Diameter of the nozzle, mm; its lower rim stands one stick-out above the wire tip.
    pub nozzle_mm: f64,
    /// Whether the torch has a brake that holds the wire while it feels. Without one a search along the
    /// wire pushes it back.
    pub wire_brake: bool,
    /// Delay between contact and its detection, s.
    pub latency_s: f64,
    /// Scan period of the input, s: a further delay drawn evenly from 0 to this.
    pub scan_s: f64,
    /// Standard deviation of what else disturbs a reading, mm.
    pub sigma_mm: f64,
    /// Speed of travel moves at full run speed, mm/s.
    pub travel_mm_s: f64,
    /// Speed of the weld, mm/s.
    pub weld_mm_s: f64,
}

impl Default for CellSettings {
    fn default() -> Self {
        Self {
            wire_mm: 1.2,
            stick_out_mm: 15.0,
            nozzle_mm: 24.0,
            wire_brake: true,
            latency_s: 0.005,
            scan_s: 0.004,
            sigma_mm: 0.10,
            travel_mm_s: 600.0,
            weld_mm_s: 8.0,
        }
    }
}

impl CellSettings {
    /// Radius of the wire, mm.
    pub fn wire_radius(&self) -> f64 {
        self.wire_mm / 2.0
    }
}
