// The last day by the hour, for whoever reads figures rather than a picture.
import type { Series } from "../api/shape";
import { seenFrom } from "../words/clock";
import { ampHours, bandPoints, points } from "../words/number";

interface Hour {
    at: number;
    soc: number | null;
    sd: number;
    in: number;
    out: number;
}

function hours(series: Series): Hour[] {
    const rows: Hour[] = [];
    series.at.forEach((at, i) => {
        const start = Math.floor(at / 3600) * 3600;
        let row = rows[rows.length - 1];
        if (row?.at !== start) rows.push((row = { at: start, soc: null, sd: 0, in: 0, out: 0 }));
        row.soc = series.state_of_charge[i] ?? row.soc; // as it ended
        row.sd = series.state_of_charge_sd[i] ?? row.sd;
        row.in += series.in_ah[i] ?? 0;
        row.out += series.out_ah[i] ?? 0;
    });
    return rows.reverse();
}

export function Table({ series }: { series: Series }) {
    return (
        <table>
            <caption>Newest first; charge as each hour ended.</caption>
            <thead>
                <tr>
                    <th scope="col">Hour from</th>
                    <th scope="col">Left</th>
                    <th scope="col">In</th>
                    <th scope="col">Out</th>
                </tr>
            </thead>
            <tbody>
                {hours(series).map((row) => (
                    <tr key={row.at}>
                        <th scope="row">{seenFrom(series.to, row.at)}</th>
                        <td>{row.soc === null ? "not measured" : `${points(row.soc)}\u00a0%\u00a0±\u00a0${bandPoints(row.sd)}`}</td>
                        <td>{ampHours(row.in)}</td>
                        <td>{ampHours(row.out)}</td>
                    </tr>
                ))}
            </tbody>
        </table>
    );
}
