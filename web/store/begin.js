/** @file Runs before all else: the database is read while the rooms are still coming. */

import { loadEarly } from "./known.js";

loadEarly();
