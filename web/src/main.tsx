import { render } from "preact";
import "./style/type.css";
import "./style/colour.css";
import "./style/page.css";
import "./style/level.css";
import "./style/chart.css";
import "./style/form.css";
import "./style/parts.css";
import { chosenLook, wear } from "./look";
import { Page } from "./page";

wear(chosenLook());

const place = document.getElementById("page");
if (place) {
    place.textContent = "";
    render(<Page />, place);
}
