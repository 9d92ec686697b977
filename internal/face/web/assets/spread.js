// The page of the spread with a script: how far the cases are is shown.

import "./job.js";

document.documentElement.classList.add("scripted");
