#include "mutation.hpp"

#include <algorithm>
#include <set>

namespace budwood::fuzz {

namespace {

/// Larger inputs are run as they are: changing a little of them shows nothing that a small one does
/// not.
constexpr std::size_t largest_changed = 16U << 10U;
constexpr std::size_t deep = 15'000;

/// What readers stumble over.
const std::vector<std::string>& odd_pieces() {
  static const std::vector<std::string> pieces = {
      std::string(1, '\0'),
      "\n",
      "\r\n",
      "\r",
      "\t",
      " ",
      "\"",
      "'",
      "\\",
      "/",
      "../",
      "#",
      "%",
      "{",
      "}",
      "[",
      "]",
      "(",
      ")",
      ",",
      ";",
      ":",
      ": ",
      "- ",
      "? ",
      "&a ",
      "*a",
      "!!str ",
      "|",
      ">",
      "---\n",
      "...\n",
      "~",
      "null",
      "0",
      "-1",
      "1e309",
      "-0.0",
      "nan",
      "inf",
      "1e-320",
      "0.1",
      "00",
      "99999999999999999999",
      "2147483648",
      "4294967296",
      "9223372036854775808",
      "2027-02-29",
      "0000-00-00",
      "9999-12-31",
      "1970-01-01",
      "2200-01-01",
      "23:59",
      "=",
      "==",
      ".",
      "<",
      ">",
      "&amp;",
      "&#0;",
      "<![CDATA[",
      "]]>",
      "PK\x03\x04",
      "\x7F",
      "\x1B[31m",
      "\x80",
      "\xFF",
      "\xC0\x80",
      "\xED\xA0\x80",
      "\xF4\x90\x80\x80",
      "\xEF\xBB\xBF",      // a byte-order mark
      "\xE2\x80\x8B",      // a space without width
      "\xE2\x80\x8D",      // a joiner
      "\xE2\x80\xAE",      // turns the direction of writing
      "\xE2\x80\xA8",      // a line separator
      "\xEF\xBF\xBE",      // U+FFFE
      "\xF3\xA0\x81\x81",  // a tag
      "\xEF\xBC\x9D",      // a full-width equals sign
      "\xC3\xA9",
      "e\xCC\x81",
      "\xF0\x9F\x8C\xB1",
  };
  return pieces;
}

bool is_word(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
         static_cast<unsigned char>(c) >= 0x80;
}

/// Runs of letters and digits, and each other character.
std::vector<std::string> words_of(const std::vector<Input>& corpus) {
  std::set<std::string> words;
  for (const Input& input : corpus) {
    if (input.bytes.size() > largest_changed) continue;
    for (std::size_t begin = 0; begin < input.bytes.size();) {
      std::size_t end = begin + 1;
      while (end < input.bytes.size() && is_word(input.bytes[begin]) && is_word(input.bytes[end])) {
        ++end;
      }
      words.insert(input.bytes.substr(begin, end - begin));
      begin = end;
    }
  }
  return {words.begin(), words.end()};
}

}  // namespace

Mutation::Mutation(const std::vector<Input>& corpus, unsigned seed)
    : corpus_(corpus), words_(words_of(corpus)), random_(seed) {}

const std::string& Mutation::piece() {
  const std::vector<std::string>& from = random_() % 2 == 0 ? odd_pieces() : words_;
  return from[below(from.size())];
}

void Mutation::change(std::string& bytes) {
  const std::size_t at = below(bytes.size() + 1);
  const std::size_t length = 1 + below(random_() % 4 == 0 ? 200 : 12);
  const std::string stretch = bytes.substr(at, length);
  switch (random_() % 9) {
    case 0:
      if (at < bytes.size()) bytes[at] = static_cast<char>(random_());
      break;
    case 1:
      bytes.erase(at, length);
      break;
    case 2:
      bytes.insert(at, piece());
      break;
    case 3:
      bytes.replace(at, std::min(length, bytes.size() - at), piece());
      break;
    case 4:
      bytes.insert(below(bytes.size() + 1), stretch);
      break;
    case 5:
      bytes.resize(at);
      break;
    case 6: {
      const std::string& other = corpus_[below(corpus_.size())].bytes;
      const std::size_t from = below(other.size() + 1);
      bytes.insert(at, other, from, below(std::min(other.size() - from, std::size_t{400}) + 1));
      break;
    }
    case 7:
      if (at < bytes.size()) bytes[at] = static_cast<char>(bytes[at] ^ (1U << below(8)));
      break;
    default: {
      // Rarely, because what is large takes long: something again and again.
      const std::string again = random_() % 2 == 0 ? stretch : piece();
      std::string many;
      for (std::size_t left = random_() % 16 == 0 ? deep : 3; left > 0; --left) many += again;
      bytes.insert(at, many, 0, 20 * deep);
    }
  }
}

std::string Mutation::next() {
  const std::string* from = nullptr;
  do {
    from = &corpus_[below(corpus_.size())].bytes;
  } while (from->size() > largest_changed);
  std::string bytes = *from;
  for (std::size_t left = 1 + below(6); left > 0; --left) change(bytes);
  return bytes;
}

}  // namespace budwood::fuzz
