/** "12 May, Raspberry sandwich, Sponge": what a record is listed under. */
export const recordName = (bakedOn: string, formula: string, component: string): string =>
  `${new Date(`${bakedOn}T12:00:00Z`).toLocaleDateString("en-GB", { day: "numeric", month: "short", timeZone: "UTC" })}, ${formula}, ${component}`;
