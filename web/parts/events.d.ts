// What the handlers of our templates are given, for the type checker only.

/** From a field that is written into or ticked. */
export type Typed = Event & { target: HTMLInputElement; currentTarget: HTMLInputElement };
/** From a field of several lines. */
export type TypedLines = Event & { target: HTMLTextAreaElement; currentTarget: HTMLTextAreaElement };
/** From a list to choose from. */
export type Chosen = Event & { target: HTMLSelectElement };
/** From a key. */
export type Touched = Event & { currentTarget: HTMLElement };
/** From what opens and closes. */
export type Opened = Event & { target: HTMLDetailsElement };
/** From a form; `Names` are the names of its fields. */
export type Submitted<Names extends string = never> = SubmitEvent & { target: FormOf<Names>; currentTarget: FormOf<Names> };
export type FormOf<Names extends string = never> = HTMLFormElement & {
  elements: HTMLFormControlsCollection & Record<Names, HTMLInputElement>;
};
/** What an element of ours tells: `detail` is the news. */
export type Told<News> = CustomEvent<News>;
/** What `willUpdate` and `updated` are given: the properties that changed, and what they were. */
export type Changed = Map<PropertyKey, unknown>;
/** What a template gives, or nothing at all. */
export type Drawn = unknown;
