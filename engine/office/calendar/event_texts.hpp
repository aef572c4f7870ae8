/// How a calendar words orders. Private to this module.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "office/calendar/event.hpp"
#include "plan/orders/order.hpp"
#include "plan/orders/setting_orders.hpp"
#include "report/report.hpp"

namespace budwood::office {

/// Text of users as it may stand in a calendar: printable, line breaks kept, no blanks at either
/// end, because readers drop them.
std::string calendar_text_of(std::string_view text);

/// The event of one order, without its uid.
Event event_of(const plan::OrderDetail& order);
Event event_of(const plan::SettingDetail& order);
Event event_of(const plan::MakingDetail& making);

/// The event of a crew's day, or of what is set on a day: its orders one after the other.
/// `crew` is "" for work that anyone does.
Event event_of(const std::string& crew, std::span<const plan::OrderDetail> orders);
Event event_of(std::span<const plan::SettingDetail> orders);

}  // namespace budwood::office
