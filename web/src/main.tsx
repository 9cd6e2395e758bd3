import { render } from "preact";
import "./style/type.css";
import "./style/colour.css";
import "./style/page.css";
import "./style/level.css";
import "./style/chart.css";
import "./style/form.css";
import "./style/parts.css";
import "./style/access.css";
import { chosenLook, wear } from "./look";
import { Whole } from "./access/whole";

wear(chosenLook());

const place = document.getElementById("page");
if (place) {
    place.textContent = "";
    render(<Whole />, place);
}
