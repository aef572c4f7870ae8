#include "page/people/sessions.hpp"

#include <algorithm>

namespace budwood::page {

namespace {

constexpr auto longest_rest = std::chrono::hours(12);
constexpr std::size_t most_sessions = 1000;
constexpr std::size_t most_tries = 10'000;  ///< names that are kept in mind
constexpr int free_tries = 5;
constexpr int longest_wait = 60;

std::string stamp_of(const std::filesystem::path& path) {
  std::error_code failure;
  const auto time = std::filesystem::last_write_time(path, failure);
  if (failure) return "";
  const auto size = std::filesystem::file_size(path, failure);
  return std::to_string(time.time_since_epoch().count()) + " " + std::to_string(size);
}

}  // namespace

Sessions::Sessions(std::filesystem::path folder, Need need)
    : folder_(std::move(folder)), need_(need), own_token_(random_token()) {
  people_ = read_people(folder_, problem_);
  stamp_ = stamp_of(folder_ / people_file);
}

/// The mutex is held.
void Sessions::read_again() {
  std::string stamp = stamp_of(folder_ / people_file);
  if (stamp == stamp_) return;
  stamp_ = std::move(stamp);
  people_ = read_people(folder_, problem_);
  std::erase_if(sessions_, [&](const auto& one) {
    const Person* person = find(one.second.person.name);
    return person == nullptr || person->role != one.second.person.role ||
           person->password != one.second.person.password;
  });
}

const Person* Sessions::find(const std::string& name) const {
  for (const Person& one : people_) {
    if (one.name == name) return &one;
  }
  return nullptr;
}

bool Sessions::asked_for() {
  const std::lock_guard lock(mutex_);
  read_again();
  return need_ == Need::always || !people_.empty() || !problem_.empty();
}

std::optional<Visitor> Sessions::visitor(const std::string& session, Clock::time_point now) {
  if (!asked_for()) return Visitor{"", Role::plan, own_token_};
  const std::lock_guard lock(mutex_);
  const auto found = sessions_.find(session);
  if (found == sessions_.end()) return std::nullopt;
  if (now - found->second.used > longest_rest) {
    sessions_.erase(found);
    return std::nullopt;
  }
  found->second.used = now;
  return Visitor{found->second.person.name, found->second.person.role, found->second.token};
}

Sessions::SignedIn Sessions::sign_in(const std::string& name, const std::string& password,
                                     Clock::time_point now) {
  Person person;
  {
    const std::lock_guard lock(mutex_);
    read_again();
    if (!problem_.empty()) return {"", problem_, 0};
    if (const auto tries = tries_.find(name); tries != tries_.end() && tries->second.next > now) {
      const auto wait = std::chrono::ceil<std::chrono::seconds>(tries->second.next - now).count();
      return {"", "Too many wrong passwords: wait a little.", static_cast<int>(wait)};
    }
    if (const Person* found = find(name)) person = *found;
  }
  bool right = false;
  {
    const std::lock_guard lock(hashing_);
    right = is_password(person.password, password);
  }
  const std::lock_guard lock(mutex_);
  if (!right) {
    if (tries_.size() >= most_tries) tries_.clear();
    Tries& tries = tries_[name];
    const int over = ++tries.wrong - free_tries;
    if (over >= 0) {
      const int wait = over > 5 ? longest_wait : std::min(longest_wait, 2 << over);
      tries.next = now + std::chrono::seconds(wait);
    }
    return {"", "This name and this password do not belong together.", 0};
  }
  tries_.erase(name);
  if (sessions_.size() >= most_sessions) {
    sessions_.erase(std::min_element(
        sessions_.begin(), sessions_.end(),
        [](const auto& a, const auto& b) { return a.second.used < b.second.used; }));
  }
  std::string session = random_token();
  sessions_[session] = {std::move(person), random_token(), now};
  return {std::move(session), "", 0};
}

void Sessions::sign_out(const std::string& session) {
  const std::lock_guard lock(mutex_);
  sessions_.erase(session);
}

}  // namespace budwood::page
