// Formatters of the device's language, each made once: making one takes a hundred times as long as using it.

/** Says a number. */
export function numberSayer(options: Intl.NumberFormatOptions): (value: number) => string {
    let made: Intl.NumberFormat | undefined;
    return (value) => (made ??= new Intl.NumberFormat(undefined, options)).format(value);
}

/** Says a moment, on this device's clock: a van crosses time zones while its page stays open. */
export function momentSayer(options: Intl.DateTimeFormatOptions): (at: number) => string {
    let made: Intl.DateTimeFormat | undefined;
    let zone = 0;
    return (at) => {
        const here = new Date().getTimezoneOffset();
        if (made === undefined || zone !== here) made = new Intl.DateTimeFormat(undefined, options);
        zone = here;
        return made.format(at * 1000);
    };
}
