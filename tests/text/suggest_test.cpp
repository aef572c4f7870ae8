#include <doctest/doctest.h>

#include "text/text.hpp"

using namespace budwood::text;

TEST_CASE("a slip of the pen finds its word") {
  const std::vector<std::string> words{"humidity", "light", "root_zone", "air"};
  CHECK(nearest("humidty", words) == "humidity");    // a letter left out
  CHECK(nearest("huumidity", words) == "humidity");  // one too many
  CHECK(nearest("humidiyt", words) == "humidity");   // neighbours swapped
  CHECK(nearest("Light", words) == "light");         // case
  CHECK(nearest("rootzone", words) == "root_zone");
  CHECK(nearest("aire", words) == "air");
}

TEST_CASE("a different word finds nothing") {
  const std::vector<std::string> words{"humidity", "air"};
  CHECK(nearest("temperature", words).empty());
  CHECK(nearest("ox", words).empty());
  CHECK(nearest("", words).empty());
  CHECK(nearest("air", {}).empty());
}

TEST_CASE("the nearest of several wins, the first among equals") {
  CHECK(nearest("potting", {"plotting", "potting_up", "pottin"}) == "plotting");
  CHECK(nearest("stage2", {"stage1", "stage3"}) == "stage1");
}

TEST_CASE("very long words and very many candidates are not searched") {
  CHECK(nearest(std::string(65, 'a'), {std::string(64, 'a')}).empty());
  CHECK(nearest("abcd", std::vector<std::string>(1001, "abcx")).empty());
  CHECK(nearest("abcd", std::vector<std::string>(1000, "abcx")) == "abcx");
}

TEST_CASE("the question is asked only when there is an answer") {
  CHECK(did_you_mean("dais", {"days", "weeks"}) == "Did you mean `days`?");
  CHECK(did_you_mean("fortnight", {"days", "weeks"}).empty());
}

TEST_CASE("words are listed as people list them") {
  CHECK(list_words({}) == "");
  CHECK(list_words({"a"}) == "a");
  CHECK(list_words({"a", "b"}) == "a and b");
  CHECK(list_words({"a", "b", "c"}, "or") == "a, b or c");
}

TEST_CASE("long text is shortened between characters") {
  CHECK(shortened("short") == "short");
  CHECK(shortened(std::string(40, 'a')) == std::string(40, 'a'));
  CHECK(shortened(std::string(41, 'a')) == std::string(40, 'a') + "...");
  // The 40th byte is the first half of é, so the cut comes before it.
  CHECK(shortened(std::string(39, 'a') + "é" + std::string(9, 'a')) ==
        std::string(39, 'a') + "...");
}
