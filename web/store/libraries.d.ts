// What is used of libraries whose own types do not reach the files that the import map names.

declare module "libphonenumber-js/es6/parsePhoneNumber.js" {
  export default function parse(
    said: string,
    options: { defaultCountry: string; extract: boolean },
    plans: object,
  ): { number: string; countryCallingCode: string; isValid(): boolean; isPossible(): boolean } | undefined;
}
declare module "libphonenumber-js/metadata.max.json.js" {
  const plans: object;
  export default plans;
}
