import { render } from "preact";
import "./style/type.css";
import "./style/colour.css";
import "./style/page.css";
import "./style/level.css";
import "./style/day.css";
import { Page } from "./page";

const place = document.getElementById("page");
if (place) {
    place.textContent = "";
    render(<Page />, place);
}
