// What the server says: docs/reference/openapi.json. Times are Unix seconds, shares are 0 to 1, null is "not known".

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

export interface System {
    name: string;
    nominal_voltage_v: number;
    chemistry: string;
    design_capacity_ah: number;
    reserve: number;
}

export interface Present {
    system: System;
    measured: true;
    beginning: number | null;
    troubles: string[]; // of the measuring and the record itself, a sentence each
    at: number;
    age_s: number;
    fresh_for_s: number;
    demonstration_speed: number | null;
    state_of_charge: Uncertain;
    remaining_ah: Uncertain;
    full_charge_capacity_ah: Uncertain;
    meter_offset_a: Uncertain;
    current_a: number | null;
    voltage_v: number | null;
    power_w: number | null;
    temperature_c: number | null;
    time_to_empty_s: TimeRange | null; // null while not known
    time_to_full_s: TimeRange | null;
    evidence: { kind: string; at: number | null; out_since_ah: number; in_since_ah: number };
    last_full: { at: number; out_since_ah: number; in_since_ah: number } | null;
    flows: { name: string; current_a: number | null }[];
}

/** Before the first reading nothing but the system is known. */
export type Now = Present | { system: System; measured: false; beginning: number | null; troubles: string[] };

export type Column = (number | null)[];

export interface Moved {
    in_ah: number;
    out_ah: number;
    in_wh: number;
    out_wh: number;
    seen_s: number;
}

/** Pieces of a span, as columns; `edges` has one entry more than the others. */
export interface Span {
    from: number;
    to: number;
    edges: number[];
    state_of_charge: Column;
    state_of_charge_sd: Column;
    state_of_charge_low: Column;
    state_of_charge_high: Column;
    hindsight: Column;
    hindsight_sd: Column;
    hindsight_low: Column;
    hindsight_high: Column;
    current_low_a: Column;
    current_a: Column;
    current_high_a: Column;
    voltage_v: Column;
    temperature_c: Column;
    total: Moved;
}

export type Unit = "hour" | "day" | "week" | "month";

export interface Bars {
    by: Unit;
    zone: string;
    from: number[];
    to: number[];
    in_ah: number[];
    out_ah: number[];
    in_wh: number[];
    out_wh: number[];
    seen_s: number[];
    hindsight: Column;
    hindsight_sd: Column;
    hindsight_low: Column;
    hindsight_high: Column;
    voltage_low_v: Column;
    voltage_high_v: Column;
    temperature_low_c: Column;
    temperature_high_c: Column;
}

export interface Reason {
    figure: string;
    question: string;
    meaning: string;
    readings: string | null;
    formula: string;
    rule: string;
    source: string;
}

export interface Mistake {
    line: number;
    column: number;
    path: string;
    message: string;
}

export interface Assumed {
    path: string;
    value: string;
    why: string;
}

export interface Finding {
    severity: "note" | "warning" | "danger";
    rule: string;
    subject: string;
    sentence: string;
    figures: { name: string; value: number | null; unit: string }[];
    source: string;
    mend: string;
}

export interface Description {
    file: string;
    text: string;
    mark: string;
    valid: boolean;
    mistakes: Mistake[];
    assumed: Assumed[];
}

export interface Judged {
    findings: Finding[];
    cautions: string[];
    trouble: string | null;
}

export interface Validated extends Partial<Judged> {
    valid: boolean;
    mistakes: Mistake[];
    assumed: Assumed[];
}

/** A draw test as far as it has come; the server reckons. */
export interface DrawTest {
    step: "off_before" | "on" | "off_after" | "done";
    counting: boolean;
    todo: string;
    readings: number;
    ready: boolean;
    wait_s: number | null;
    cycles: number | null;
    result: { measured: boolean; draw_a: Uncertain; power_w: Uncertain; at_most_a: number | null; text: string } | null;
}

/** A test of how the meter is put in, likewise. */
export interface CommissioningRun {
    step: {
        number: number;
        title: string;
        expected: string;
        todo: string;
        ask: "nothing" | "watts" | "amperes" | "yes_or_no";
        question: string;
    } | null;
    steps: number;
    measuring: boolean;
    wait_s: number | null;
    findings: { title: string; verdict: string; seen: string; meaning: string }[];
    sound: boolean;
}

export interface Commissioning {
    settings: { what: string; value: string; why: string }[];
    steps: string[];
}

export interface Sources {
    sources: {
        name: string;
        kind: string;
        state: "well" | "late" | "silent" | "refused";
        last: number | null;
        interval_s: number | null;
        readings: number;
        faults: number;
        message: string;
    }[];
}

export interface Guards {
    guards: { name: string; rule: string; state: string; since: number | null; message: string }[];
    acts: { at: number; guard: string; what: string }[];
}

export interface GuardTrial {
    from: number;
    to: number;
    trips: {
        guard: string;
        at: number;
        until: number;
        lasts: boolean;
        worst: string;
        voltage_v: number | null;
        current_a: number | null;
        temperature_c: number | null;
        state_of_charge: { mean: number | null; sd: number | null };
    }[];
    left_out: number;
    nearest: { guard: string; rule: string; value: string | null; at: number | null }[];
}

export interface Line {
    name: string;
    wh_per_day: number[];
}

export interface Appliances {
    appliances: { name: string; circuit: string; feed: string; count: number; power_w: number | null; standby_w: number | null }[];
    uses: Line[];
    losses: Line[];
    gives: Line[];
    used_wh_per_day: number[];
    given_wh_per_day: number[];
    measured: { days: number; to: number; in_wh_per_day: number; out_wh_per_day: number } | null;
}

export interface RecordStanding {
    file: string;
    exists: boolean;
    from: number | null;
    to: number | null;
    readings: number;
    bytes: number;
    zone: string;
    not_derived_s: number;
    copy: { bytes: number } | null;
}

export interface WorkStanding {
    kind: string;
    state: "idle" | "working" | "done";
    share: number;
    well: boolean;
    figures: unknown;
    sentence: string;
}

export interface Device {
    id: string;
    name: string;
    role: "view" | "full";
    since: number;
    seen: number;
}

export interface Devices {
    devices: Device[];
}

export interface Access {
    asks: boolean;
    may: "nothing" | "look" | "change";
    own_computer: boolean;
    encrypted: boolean;
    device: Device | null;
}

export interface Invitation {
    lasts_s: number;
    links: { link: string; size: number; path: string }[];
}

export interface Preview {
    mapping: string;
    doubts: string[];
    sign: "agrees" | "reversed" | "unclear";
    lines: number;
    bad: number;
    first_bad: { line: number; why: string; text: string }[];
    readings: { at: number; current_a: number | null; voltage_v: number | null; temperature_c: number | null }[];
}
