// The pages that are looked at.
import { readFileSync } from "node:fs";
import { join } from "node:path";

const few = ["--realizations", "300", "--quick"];

// hostile is a scenario with a script for a title, and as many options as a first
// sheet has room for, with long names.
function hostile(root) {
  const text = readFileSync(join(root, "scenarios/ready/sealed-drain.yaml"), "utf8");
  const title = `<script>window.ranFromTitle=1</script> & <img src=x onerror=window.ranFromTitle=2> four hours at Larkmoor, a long title that goes on`;
  return text
    .replace(/^title: .*$/m, `title: '${title}'`)
    .replace(/^ {2}below the oil:/m, `  <b>the larger can, a lower return & a wider bore</b>: {separator.usable_volume: 0.9 L, separator.diameter: 170 mm, drain.fall: 105 .. 130 mm, drain.length: 580 mm, drain.bore: 16 mm}
  a_name_of_one_word_that_is_longer_than_any_column_of_the_table_has_room_for: {drain.bore: 16 mm}
  below the oil:`);
}

// pages lists them: how each is made, and what its HTML must show; sheets: the answer
// has no printed sheet of its own.
export function pages(root, folder) {
  const file = join(folder, "hostile.yaml");
  return [
    { name: "sealed-drain", command: ["run", "sealed-drain", "--realizations", "300", "--price", "larger can=240 EUR", "--price", "lower return=60 EUR"] },
    { name: "sealed-drain-us", command: ["run", "sealed-drain", ...few, "--units", "us", "--variant", "lower return"] },
    { name: "sealed-can", command: ["run", "sealed-can", "--realizations", "200", "--quick", "--sessions", "15min, 30min"] },
    { name: "lost-circuit", command: ["run", "lost-circuit", "--realizations", "300", "--sessions", "10min, 15min"] },
    { name: "quick", command: ["run", "sealed-drain", ...few, "--sessions", "25min"] },
    { name: "size", command: ["size", "sealed-drain", "--realizations", "100", "--sessions", "20min"] },
    { name: "compare", command: ["compare", "sealed-drain", "--realizations", "200", "--sessions", "15min, 20min", "--variant", "lower return", "--variant", "larger can"] },
    { name: "choose", command: ["choose", "--realizations", "200", "--sessions", "15min"] },
    { name: "sensitivity", command: ["sensitivity", "--realizations", "2000", "--units", "us"], sheets: true },
    { name: "learn", command: ["learn", "--realizations", "100", "--units", "us"], sheets: true },
    { name: "diagnose", command: ["diagnose", "--realizations", "100", "--units", "us"], sheets: true },
    {
      name: "hostile",
      scenario: { file, text: hostile(root) },
      command: ["run", file, "--realizations", "200", "--sessions", "15min, 25min", "--price", "larger can=<b>240</b> EUR for can, bracket and fitting", "--price", "as written=0 EUR"],
      shows: ["&lt;script&gt;window.ranFromTitle=1&lt;/script&gt;", "&lt;b&gt;240&lt;/b&gt;"],
    },
  ];
}
