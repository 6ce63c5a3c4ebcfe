/** Glues by name, as the glues' table of the trade has them. */
export const GLUES: Readonly<Record<string, string>> = {
  "pva-interior": "PVA, plain white or yellow",
  "pva-type-2": "PVA, type II, water-resistant",
  "pva-type-1": "PVA, type I, waterproof",
  "pva-slow": "PVA, slow, extended open time",
  "hide-liquid": "Liquid hide glue",
  "hide-hot": "Hot hide glue, pot at 60 to 65 °C",
  polyurethane: "Polyurethane, one part",
  "epoxy-fast": "Epoxy, five-minute",
  "epoxy-slow": "Epoxy, slow",
  "urea-formaldehyde": "Urea-formaldehyde, powder",
  cyanoacrylate: "Cyanoacrylate",
  contact: "Contact cement",
};
