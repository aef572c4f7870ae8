#pragma once

#include <chrono>
#include <filesystem>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "page/people/people.hpp"

namespace budwood::page {

/// Who sends a request.
struct Visitor {
  std::string name;  ///< "" where nobody signs in
  Role role = Role::look;
  std::string token;  ///< that goes with everything that changes something, against forged requests
};

/// Who is signed in. Nobody needs to on this machine as long as the book names no people. Sessions
/// are kept in memory: when the program is started anew, people sign in again.
class Sessions {
 public:
  using Clock = std::chrono::steady_clock;
  enum class Need : std::uint8_t { when_there_are_people, always };

  Sessions(std::filesystem::path folder, Need need);

  /// Whether people have to sign in.
  bool asked_for();
  /// Whoever has this session; nothing when nobody has, or no more: people who were removed, or
  /// whose role or password changed, are out at once, and who did nothing for twelve hours.
  std::optional<Visitor> visitor(const std::string& session, Clock::time_point now = Clock::now());

  struct SignedIn {
    std::string session;  ///< "" when it was refused
    std::string problem;  ///< why, in words
    int wait = 0;         ///< seconds until the next try will be looked at
  };
  /// After five wrong passwords for a name each further try has to wait, twice as long each time,
  /// up to a minute. `now` is for tests.
  SignedIn sign_in(const std::string& name, const std::string& password,
                   Clock::time_point now = Clock::now());
  void sign_out(const std::string& session);

 private:
  struct Session {
    Person person;
    std::string token;
    Clock::time_point used;
  };
  struct Tries {
    int wrong = 0;
    Clock::time_point next;
  };

  void read_again();
  const Person* find(const std::string& name) const;

  std::filesystem::path folder_;
  Need need_;
  std::string own_token_;  ///< of everybody, where nobody signs in
  std::mutex mutex_;
  std::mutex hashing_;  ///< one at a time: each takes 64 MB
  std::string stamp_;
  std::vector<Person> people_;
  std::string problem_;
  std::map<std::string, Session> sessions_;
  std::map<std::string, Tries> tries_;
};

}  // namespace budwood::page
