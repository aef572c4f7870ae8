#pragma once

#include <httplib.h>

#include <atomic>
#include <functional>
#include <optional>
#include <string>

#include "page/open/open_book.hpp"
#include "page/page.hpp"
#include "page/people/sessions.hpp"
#include "page/views/desk.hpp"
#include "page/views/json.hpp"
#include "page/views/views.hpp"

namespace budwood::page {

/// What can be asked of the page, and who may ask it. Stays where it is made.
class Routes {
 public:
  Routes(const Serving& serving, OpenBook& book, Sessions& sessions);

  void add_to(httplib::Server& server);

 private:
  using Request = httplib::Request;
  using Response = httplib::Response;
  /// Answers with JSON; null is "not found".
  using Reader = std::function<Json(Snapshot&, const Question&)>;
  using Writer = std::function<void(const Visitor&, const Json&, Response&)>;

  // routes.cpp
  void add_files(httplib::Server& server);
  void add_pictures(httplib::Server& server);
  void add_views(httplib::Server& server);
  void add_events(httplib::Server& server);
  void stream_events(const Request& request, Response& response);
  /// Of what answers rest on: on the plan alone, which stays as it is, or on the live sheet as
  /// well.
  enum class RestsOn : std::uint8_t { plan, live };
  void view(httplib::Server& server, const std::string& name, RestsOn on, Reader reader);
  /// Who asks; without leave to the response says so, and there is nobody.
  std::optional<Visitor> visitor(const Request& request, Response& response, Role role);
  Json state_of(const Visitor& visitor, Snapshot& now) const;

  // writing_routes.cpp
  void add_writing(httplib::Server& server);
  void add_photos(httplib::Server& server);
  /// What is asked while somebody types a method.
  void add_desk(httplib::Server& server);
  void add_signing_in(httplib::Server& server);
  /// A route that takes JSON; `changes`: it changes something, which is not done read-only.
  void action(httplib::Server& server, const std::string& name, Role role, bool changes,
              Writer writer);
  /// Whether the request comes from our own page; otherwise the response says that it does not.
  static bool has_token(const Visitor& visitor, const Request& request, Response& response);
  /// The same, and whether anything may be changed here.
  bool may_change(const Visitor& visitor, const Request& request, Response& response) const;
  void note_entries(const Visitor& visitor, const Json& body, Response& response);
  void try_changes(const Json& body, Response& response);
  void keep_changes(const Json& body, Response& response);
  void add_one(const Json& body, Response& response);
  void save_text(const Json& body, Response& response);

  const Serving& serving_;
  OpenBook& book_;
  Sessions& sessions_;
  Desk desk_;
  std::atomic<int> streams_ = 0;
};

inline constexpr const char* session_cookie = "budwood";

/// Answers with JSON that nobody keeps.
void give_json_text(httplib::Response& response, const std::string& json, int status = 200);
void give_json(httplib::Response& response, const Json& json, int status = 200);
/// {"problem": "..."}.
void refuse(httplib::Response& response, int status, const std::string& problem);

}  // namespace budwood::page
