/** What waits for a person on this device, counted once: for the head, the app's icon, and Settings. */
import { house } from "../store/house.js";

/** Lots below zero are the owner's to put right. */
export const lotsThatNeedYou = () => (house.status.device?.role === "keeper" ? house.view.lotsBelowZero() : []);

/** Entries that the main computer could not take, and lots below zero. */
export const howManyNeedYou = () => house.status.needsYou.length + lotsThatNeedYou().length;
