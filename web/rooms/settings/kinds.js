/** @file What each kind of entry is called when it is spoken of. */

/** @type {Record<string, string>} */
export const KINDS = {
  promise: "an order",
  amend: "a change of an order",
  let_go: "an order canceled",
  sell: "a sale",
  pack: "a parcel packed",
  unpack: "a packing undone",
  weigh: "a weighing",
  arrive: "how a parcel came",
  hand_over: "a hand-over",
  pay: "a payment",
  make: "something made",
  count: "a count",
  take_back: "a mistake put right",
  buy: "something bought",
  note_person: "a person",
  note_people: "people from a list",
  note_lot: "a lot",
  set_good: "a good",
  set_house: "a setting",
  undo: "an undo",
  give_back: "what was set aside, given back",
};
