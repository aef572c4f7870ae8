#include <doctest/doctest.h>

#include "language/model.hpp"
#include "reading.hpp"

using namespace reading;

namespace {

std::string stage(const std::string& name, const std::string& head, const std::string& more = "") {
  return "stage " + name + " " + head + " { lasts 1 day " + more + " }\n";
}

std::string flow(const std::string& stages) {
  return "protocol x {\npart scion\npart stock\npart plant\n" + stages + "}\n";
}

/// The names of the stages whose plants a stage takes.
std::vector<std::string> taken_by(const Protocol& protocol, const std::string& name) {
  std::vector<std::string> out;
  for (const Stage& s : protocol.stages) {
    if (s.name != name) continue;
    for (const std::int32_t from : s.takes) {
      out.push_back(protocol.stages[static_cast<std::size_t>(from)].name);
    }
  }
  return out;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("stages of a part follow each other in the order written") {
  const Reading read("protocol x {\npart plant\n" + stage("a", "of plant") +
                     stage("b", "of plant") + stage("c", "of plant") + "}");
  const Protocol& protocol = read.protocol();
  CHECK(taken_by(protocol, "a") == Names{});
  CHECK(taken_by(protocol, "b") == Names{"a"});
  CHECK(taken_by(protocol, "c") == Names{"b"});
  CHECK(protocol.finished_part == 0);
}

TEST_CASE("`after` a stage of the same part says from which the plants come") {
  // c is written last but comes between a and b.
  const Reading read("protocol x {\npart plant\n" + stage("a", "of plant") +
                     stage("b", "of plant", "after c") + stage("c", "of plant", "after a") + "}");
  const Protocol& protocol = read.protocol();
  CHECK(taken_by(protocol, "b") == Names{"c"});
  CHECK(taken_by(protocol, "c") == Names{"a"});
}

TEST_CASE("`after` a stage of another part is a matter of time alone") {
  const Reading read(flow(stage("a", "of scion") +
                          stage("b", "of stock", "after a by 2 to 4 days") +
                          stage("j", "joins scion with stock into plant")));
  const Protocol& protocol = read.protocol();
  CHECK(taken_by(protocol, "b") == Names{});
  REQUIRE(protocol.stages[1].after.size() == 1);
  const language::After& after = protocol.stages[1].after.front();
  CHECK(protocol.node(after.low).value == 2 * 86400.0);
  CHECK(protocol.node(after.high).value == 4 * 86400.0);
}

TEST_CASE("a join takes the last stage of each of its parts") {
  const Reading read(
      flow(stage("s1", "of scion") + stage("s2", "of scion") + stage("k1", "of stock") +
           stage("j", "joins scion with stock into plant") + stage("h", "of plant")));
  const Protocol& protocol = read.protocol();
  CHECK(taken_by(protocol, "j") == Names{"s2", "k1"});
  CHECK(taken_by(protocol, "h") == Names{"j"});
  CHECK(protocol.parts[static_cast<std::size_t>(protocol.finished_part)].name == "plant");
}

TEST_CASE("the stages of a joined part may be written after the join") {
  const Reading read(flow(stage("j", "joins scion with stock into plant") +
                          stage("s1", "of scion") + stage("k1", "of stock") +
                          stage("k2", "of stock") + stage("h", "of plant")));
  CHECK(taken_by(read.protocol(), "j") == Names{"s1", "k2"});
}

TEST_CASE("a join may take what another join made") {
  const Reading read("protocol x {\npart scion\npart bridge\npart stock\npart half\npart tree\n" +
                     stage("a", "of scion") + stage("b", "of bridge") + stage("c", "of stock") +
                     stage("j1", "joins scion with bridge into half") + stage("h", "of half") +
                     stage("j2", "joins half with stock into tree") + "}");
  CHECK(taken_by(read.protocol(), "j2") == Names{"h", "c"});
}

TEST_CASE("flows that cannot be are reported") {
  const std::string join = stage("j", "joins scion with stock into plant");
  CHECK(Reading(flow(stage("a", "of scion") + stage("b", "of scion", "after a") +
                     stage("c", "of scion", "after a") + stage("k", "of stock") + join))
            .errors() == Codes{"split"});
  CHECK(Reading(flow(stage("a", "of scion") + join)).errors() == Codes{"join-of-nothing"});
  CHECK(Reading(flow(stage("a", "of scion") + stage("b", "of stock"))).errors() ==
        Codes{"never-joined"});
  CHECK(Reading(flow(stage("a", "of scion", "after b") + stage("b", "of stock", "after a") + join))
            .errors() == Codes{"stages-in-circle"});
  CHECK(
      Reading(flow(stage("a", "of scion") + stage("b", "of stock") + stage("h", "of plant") + join))
          .errors() == Codes{"join-late"});
  CHECK(Reading(flow(stage("a", "of scion") + stage("j", "joins scion with scion into plant")))
            .errors() == Codes{"join-of-itself"});
  CHECK(Reading("protocol x { part p }").errors() == Codes{"no-stages"});
}

TEST_CASE("nothing is said of the flow when what shapes it could not be read") {
  // Without its `after` stage b would seem to take the plants of a, as c does.
  CHECK(Reading("protocol x {\npart p\n" + stage("a", "of p") + stage("c", "of p", "after a") +
                stage("b", "of p", "after a by") + "}")
            .errors() == Codes{"syntax"});
  // The join is missing only because its head is wrong.
  CHECK(Reading(flow(stage("a", "of scion") + stage("b", "of stock") +
                     stage("j", "joins scion wiht stock into plant")))
            .errors() == Codes{"syntax"});
}
