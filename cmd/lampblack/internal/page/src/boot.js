// The page of a release has its script packed, as its program is: this unpacks the script and runs it.
import { decompress } from "fzstd";
import { bytes } from "./letters.js";

const script = document.createElement("script");
script.src = URL.createObjectURL(new Blob([decompress(bytes(document.getElementById("script").textContent))], { type: "text/javascript" }));
document.body.append(script);
