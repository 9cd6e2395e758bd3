// What the server says: docs/reference/api.md. Times are Unix seconds, shares are 0 to 1, null is "not known".

export interface Uncertain {
    mean: number;
    sd: number;
}

/** Nine times out of ten between low and high; null where it does not happen within ten days. */
export interface TimeRange {
    low: number | null;
    likely: number | null;
    high: number | null;
}

export type EvidenceKind = "none" | "full" | "empty" | "rest_voltage" | "voltage_under_load";

export interface Now {
    system: {
        name: string;
        nominal_voltage_v: number;
        chemistry: string;
        design_capacity_ah: number;
        reserve: number;
    };
    at: number;
    age_s: number;
    fresh_for_s: number;
    demonstration_speed: number | null;
    beginning: number;
    state_of_charge: Uncertain;
    remaining_ah: Uncertain;
    full_charge_capacity_ah: Uncertain;
    meter_offset_a: Uncertain;
    current_a: number | null;
    voltage_v: number | null;
    power_w: number | null;
    temperature_c: number | null;
    time_to_empty_s: TimeRange;
    time_to_full_s: TimeRange;
    evidence: { kind: EvidenceKind; at: number | null; out_since_ah: number; in_since_ah: number };
    last_full: { at: number; out_since_ah: number; in_since_ah: number } | null;
}

type Column = (number | null)[];

export interface Series {
    from: number;
    to: number;
    at: number[];
    state_of_charge: Column;
    state_of_charge_sd: Column;
    hindsight_state_of_charge: Column;
    hindsight_state_of_charge_sd: Column;
    current_low_a: Column;
    current_a: Column;
    current_high_a: Column;
    voltage_v: Column;
    in_ah: number[];
    out_ah: number[];
}
