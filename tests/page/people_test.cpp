#include "page/people/people.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>

#include <filesystem>

#include "../files/folder.hpp"
#include "page/people/sessions.hpp"

namespace budwood::page {

namespace {

using std::chrono::seconds;

const std::string& hash() {
  static const std::string made = hashed("three plain words");
  return made;
}

}  // namespace

TEST_CASE("the file of people is for its owner alone, and says what was written") {
  const Folder folder;
  std::string problem;
  CHECK(read_people(folder.path(), problem).empty());
  CHECK(problem.empty());
  REQUIRE(write_people(folder.path(), {{"Ana", Role::record, hash()}}).empty());
  struct stat facts {};
  REQUIRE(::stat((folder / people_file).c_str(), &facts) == 0);
  CHECK((facts.st_mode & 0777) == 0600);
  const std::vector<Person> people = read_people(folder.path(), problem);
  REQUIRE(people.size() == 1);
  CHECK(people[0].name == "Ana");
  CHECK(people[0].role == Role::record);
  CHECK(is_password(people[0].password, "three plain words"));
  CHECK_FALSE(is_password(people[0].password, "three plain word"));
  CHECK_FALSE(is_password("", "three plain words"));
}

TEST_CASE("a file that cannot be read lets nobody in") {
  const Folder folder;
  for (const char* wrong :
       {"", "{", "[]", "{\"people\": 3}", "{\"people\": [{\"name\": \"Ana\"}]}"}) {
    folder.write(people_file, wrong);
    std::string problem;
    CHECK(read_people(folder.path(), problem).empty());
    CHECK_FALSE(problem.empty());
    Sessions sessions(folder.path(), Sessions::Need::when_there_are_people);
    CHECK(sessions.asked_for());
    CHECK_FALSE(sessions.visitor("").has_value());
  }
}

TEST_CASE("without people everybody on this machine may do everything, elsewhere nobody") {
  const Folder folder;
  Sessions here(folder.path(), Sessions::Need::when_there_are_people);
  REQUIRE(here.visitor("").has_value());
  CHECK(here.visitor("")->role == Role::plan);
  CHECK(here.visitor("")->token.size() == 64);
  Sessions elsewhere(folder.path(), Sessions::Need::always);
  CHECK_FALSE(elsewhere.visitor("").has_value());
}

TEST_CASE("who is removed, or gets another role, is out at once") {
  const Folder folder;
  REQUIRE(write_people(folder.path(), {{"Ana", Role::record, hash()}, {"Bo", Role::plan, hash()}})
              .empty());
  Sessions sessions(folder.path(), Sessions::Need::when_there_are_people);
  CHECK_FALSE(sessions.visitor("").has_value());
  const std::string ana = sessions.sign_in("Ana", "three plain words").session;
  const std::string bo = sessions.sign_in("Bo", "three plain words").session;
  REQUIRE(sessions.visitor(ana).has_value());
  CHECK(sessions.visitor(ana)->name == "Ana");
  CHECK(sessions.visitor(ana)->token != sessions.visitor(bo)->token);
  REQUIRE(write_people(folder.path(), {{"Bo", Role::plan, hash()}}).empty());
  CHECK_FALSE(sessions.visitor(ana).has_value());
  CHECK(sessions.visitor(bo).has_value());
  // Another role is asked for anew, so that no window goes on with the old one.
  REQUIRE(write_people(folder.path(), {{"Bo", Role::record, hash()}}).empty());
  CHECK_FALSE(sessions.visitor(bo).has_value());
}

TEST_CASE("who signs out, or does nothing for twelve hours, has to sign in again") {
  const Folder folder;
  REQUIRE(write_people(folder.path(), {{"Ana", Role::record, hash()}, {"Bo", Role::plan, hash()}})
              .empty());
  Sessions sessions(folder.path(), Sessions::Need::always);
  const Sessions::Clock::time_point now = Sessions::Clock::now();
  const std::string ana = sessions.sign_in("Ana", "three plain words", now).session;
  CHECK(sessions.visitor(ana, now + std::chrono::hours(11)).has_value());
  CHECK(sessions.visitor(ana, now + std::chrono::hours(22)).has_value());
  CHECK_FALSE(sessions.visitor(ana, now + std::chrono::hours(35)).has_value());
  CHECK_FALSE(sessions.visitor(ana, now + std::chrono::hours(22)).has_value());
  const std::string bo = sessions.sign_in("Bo", "three plain words").session;
  CHECK(sessions.visitor(bo).has_value());
  sessions.sign_out(bo);
  CHECK_FALSE(sessions.visitor(bo).has_value());
}

TEST_CASE("wrong passwords have to wait longer and longer, and right ones as well") {
  const Folder folder;
  REQUIRE(write_people(folder.path(), {{"Ana", Role::record, hash()}}).empty());
  Sessions sessions(folder.path(), Sessions::Need::always);
  Sessions::Clock::time_point now{};
  int looked_at = 0;
  for (int i = 0; i < 10'000; ++i) {  // one a second for nearly three hours
    now += seconds(1);
    const Sessions::SignedIn in =
        sessions.sign_in(i % 2 == 0 ? "Ana" : "Ana ", "wrong" + std::to_string(i), now);
    CHECK(in.session.empty());
    looked_at += in.wait == 0 ? 1 : 0;
    if (looked_at > 40) break;  // each takes a tenth of a second
  }
  CHECK(looked_at > 10);
  const Sessions::SignedIn soon = sessions.sign_in("Ana", "three plain words", now);
  CHECK(soon.session.empty());
  CHECK(soon.wait > 0);
  CHECK_FALSE(sessions.sign_in("Ana", "three plain words", now + seconds(61)).session.empty());
}

TEST_CASE("names and passwords that will not do") {
  CHECK(misuse_of_name("Ana-Maria").empty());
  CHECK_FALSE(misuse_of_name("").empty());
  CHECK_FALSE(misuse_of_name("Ana\n").empty());
  CHECK_FALSE(misuse_of_name("a\"b").empty());
  CHECK(misuse_of_password("three plain words").empty());
  CHECK_FALSE(misuse_of_password("short").empty());
  // Letters count, not bytes.
  std::string umlauts;
  for (std::size_t i = 1; i < shortest_password; ++i) umlauts += "\u00e4";
  CHECK_FALSE(misuse_of_password(umlauts).empty());
  CHECK(misuse_of_password(umlauts + "\u00e4").empty());
  CHECK_FALSE(misuse_of_password(std::string(201, 'a')).empty());
}

}  // namespace budwood::page
