// Colours for Budwood's protocols in CodeMirror: a mode of version 5, which version 6 takes as well:
// StreamLanguage.define(budwood). Made by the program; a test holds it against the words of the
// language.
const statements = new Set([
  "protocol", "edition", "crop", "source", "note", "input", "let", "table", "supply", "part",
  "stage", "in", "after", "room", "space", "lasts", "may", "no", "loses", "keep", "taper", "mist",
  "until", "for", "do", "starts", "rate", "time", "crew", "people", "use", "tool", "tagged",
  "caution", "record", "require", "advise", "if", "season", "takes", "yields", "discard",
  "minimum", "setup", "warn", "waive", "set", "change", "add", "drop", "rename", "move", "variant",
  "rules", "rule", "observe", "repeat", "under", "recipe", "holds", "picks", "grades", "irrigate",
])
const words = new Set([
  "pack", "hazard", "reused", "of", "joins", "with", "into", "by", "usually", "to", "wait",
  "every", "from", "over", "day", "night", "last", "on", "at", "start", "daily", "within", "each",
  "per", "else", "then", "between", "above", "up", "most", "seen", "scrap", "whole", "least",
  "steps", "based", "entry", "step", "where", "some", "has", "meets", "before", "work", "times",
  "and", "or", "footprint", "not",
])
const settings = new Set([
  "air", "leaf", "root_zone", "humidity", "vpd", "light", "photoperiod", "shade", "co2",
  "irrigation", "light_sum", "night_break", "dew_point", "absolute_humidity", "mist_time",
  "mist_pulses",
])
export const budwood = {
  name: "budwood",
  lineComment: "#",
  electricInput: /^\s*\}$/,
  languageData: { commentTokens: { line: "#" }, closeBrackets: { brackets: ["{", "(", '"'] } },
  startState() {
    return { depth: 0 }
  },
  indent(state, after) {
    return 2 * Math.max(0, state.depth - (/^\s*\}/.test(after) ? 1 : 0))
  },
  token(stream, state) {
    if (stream.eatSpace()) return null
    if (stream.match(/^#.*/)) return "comment"
    if (stream.match(/^"([^"\\]|\\.)*"?/)) return "string"
    if (stream.match(/^\d{4}-\d\d-\d\d|^\d\d?:\d\d|^\d+(\.\d+)?/)) return "number"
    const word = stream.match(/^[\p{L}_°][\p{L}\p{M}\d_²³°]*/u)
    if (!word) {
      const sign = stream.next()
      if (sign === "{") state.depth += 1
      if (sign === "}") state.depth = Math.max(0, state.depth - 1)
      return "operator"
    }
    if (statements.has(word[0])) return "keyword"
    if (words.has(word[0])) return "builtin"
    return settings.has(word[0]) ? "property" : "variable"
  },
}
