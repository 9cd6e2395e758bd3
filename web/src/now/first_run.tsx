/** Before the first reading: what can be done without a meter, and how one is put to work. */
export function FirstRun() {
    return (
        <section class="plain" aria-labelledby="first-run">
            <h2 id="first-run">Nothing has been measured yet</h2>
            <p>Here the level of the battery will stand, as sharp as it is known. Until there is a meter:</p>
            <ul class="ways-on">
                <li>
                    <a href="#/system">Put a meter to work</a>: what to set, what to try, in which order.
                </li>
                <li>
                    <a href="#/record">Bring in a log</a> that another meter kept: what it knew is known here too.
                </li>
                <li>
                    See it with an invented van: stop this program and start <code>amphora demo</code>.
                </li>
            </ul>
        </section>
    );
}
