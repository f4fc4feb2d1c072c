// What script adds to pages that do without it: pages are swapped instead of loaded, taps are kept
// while the garage is away, and the slide moves under the finger.

import { begin as beginKeeping } from "./kept.js";
import { begin as beginMoving } from "./slide.js";
import { begin as beginStepping } from "./stepper.js";
import { begin as beginSwapping, whenShown } from "./swap.js";

beginSwapping();
beginKeeping();
whenShown(beginMoving);
whenShown(beginStepping);
