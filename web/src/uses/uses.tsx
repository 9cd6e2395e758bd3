// What uses it: what each appliance is said to take, what was measured in all, and a test that finds what one draws.
import { useAnswer } from "../api/use_answer";
import type { Appliances, Line } from "../api/shape";
import { Trouble } from "../parts/trouble";
import { Why } from "../parts/why";
import type { ViewProps } from "../views";
import { monthName } from "../words/clock";
import { wattHours } from "../words/number";
import { DrawTest } from "./draw_test";

const perDay = (line: Line, month: number) => line.wh_per_day[month] ?? 0;

function Takers({ lines, month, most }: { lines: Line[]; month: number; most: number }) {
    return (
        <tbody>
            {lines.map((line) => {
                const wh = perDay(line, month);
                return (
                    <tr key={line.name}>
                        <th scope="row">{line.name}</th>
                        <td class="share">
                            <span aria-hidden="true" style={{ width: `${(100 * wh) / most}%` }} />
                        </td>
                        <td>{wattHours(wh)}</td>
                    </tr>
                );
            })}
        </tbody>
    );
}

/** What was measured beside what was expected, in a sentence. */
function compared(answer: Appliances, month: number): string {
    const measured = answer.measured;
    if (measured === null) return "Nothing has been measured yet, so the description cannot be held against it.";
    const expected = answer.used_wh_per_day[month] ?? 0;
    const off = measured.out_wh_per_day - expected;
    const days = Math.round(measured.days);
    const base =
        `In the last ${days} days measured, ${wattHours(measured.out_wh_per_day)} left the battery on a mean day, and ` +
        `${wattHours(measured.in_wh_per_day)} came in. `;
    if (expected <= 0) return base;
    if (Math.abs(off) < 0.1 * expected) return `${base}That is what the description expects, within a tenth.`;
    return off > 0 ?
            `${base}That is ${wattHours(off)} more than the description expects: something takes more than it is said to, or is not described. A draw test finds it.`
        :   `${base}That is ${wattHours(-off)} less than the description expects; what a charger brings while an appliance runs does not pass the battery, which is a part of it.`;
}

function Budget({ answer, month }: { answer: Appliances; month: number }) {
    const sorted = [...answer.uses].sort((a, b) => perDay(b, month) - perDay(a, month));
    const losses = answer.losses.filter((line) => perDay(line, month) > 0);
    const most = Math.max(1, ...[...sorted, ...losses].map((line) => perDay(line, month)));
    if (sorted.length === 0)
        return (
            <p>
                No appliance is described yet. Add each with its power and its hours in <a href="#/system">the system</a>, as
                an <code>[[appliance]]</code>: then it stands here beside what was measured.
            </p>
        );
    return (
        <table class="takers">
            <caption>
                A mean day of {monthName(month)}, by the description <Why figure="budget" of="what an appliance takes" />
            </caption>
            <thead>
                <tr>
                    <th scope="col">Appliance</th>
                    <th scope="col" class="share">
                        <span class="unseen">share</span>
                    </th>
                    <th scope="col">A day</th>
                </tr>
            </thead>
            <Takers lines={sorted} month={month} most={most} />
            {losses.length > 0 && <Takers lines={losses} month={month} most={most} />}
            <tfoot>
                <tr>
                    <th scope="row">in all</th>
                    <td class="share" />
                    <td>{wattHours(answer.used_wh_per_day[month] ?? 0)}</td>
                </tr>
            </tfoot>
        </table>
    );
}

export function WhatUsesIt({ now, live }: ViewProps) {
    const { value: answer, trouble, again } = useAnswer<Appliances>("appliances");
    const month = new Date((now?.measured ? now.at : Date.now() / 1000) * 1000).getMonth();
    return (
        <>
            <section class="plain" aria-labelledby="uses">
                <h2 id="uses">What each takes</h2>
                <Trouble text={trouble} again={again} />
                {answer && <p class="summary">{compared(answer, month)}</p>}
                {answer && <Budget answer={answer} month={month} />}
            </section>
            <DrawTest now={live.now} names={answer?.appliances.map((one) => one.name) ?? []} />
        </>
    );
}
