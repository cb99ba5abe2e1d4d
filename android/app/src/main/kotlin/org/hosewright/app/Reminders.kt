package org.hosewright.app

import android.Manifest
import android.app.Activity
import android.app.AlarmManager
import android.app.Notification
import android.app.NotificationChannel
import android.app.NotificationManager
import android.app.PendingIntent
import android.content.BroadcastReceiver
import android.content.Context
import android.content.Intent
import android.content.SharedPreferences
import android.content.pm.PackageManager
import android.os.Build
import java.time.LocalDate
import java.time.ZoneId
import org.hosewright.core.ReminderShown

/**
 * Reminds of what is due, on the day and in the words of the core, which the first page
 * asks for whenever it is looked at. Here is only what the phone needs until then.
 */
class Reminders : BroadcastReceiver() {
    override fun onReceive(context: Context, intent: Intent) {
        val kept = kept(context)
        val words = kept.getString(WORDS, null) ?: return
        // Alarms do not outlive the phone's being switched off.
        if (intent.action == Intent.ACTION_BOOT_COMPLETED) return set(context, kept)
        val manager = context.getSystemService(NotificationManager::class.java)
        val title = kept.getString(TITLE, null)
        manager.createNotificationChannel(NotificationChannel(CHANNEL, title, NotificationManager.IMPORTANCE_DEFAULT))
        val leads = Intent(context, DueActivity::class.java).addFlags(Intent.FLAG_ACTIVITY_NEW_TASK or Intent.FLAG_ACTIVITY_CLEAR_TOP)
        val note = Notification.Builder(context, CHANNEL)
            .setSmallIcon(R.drawable.icon)
            .setContentTitle(title)
            .setContentText(words)
            .setStyle(Notification.BigTextStyle().bigText(words))
            .setAutoCancel(true)
            .setContentIntent(PendingIntent.getActivity(context, 0, leads, PendingIntent.FLAG_IMMUTABLE))
        manager.notify(1, note.build())
        // It comes once.
        kept.edit().clear().apply()
    }

    companion object {
        private const val CHANNEL = "due"
        private const val ON = "on"
        private const val HOUR = "hour"
        private const val TITLE = "title"
        private const val WORDS = "words"

        /** Sets the next reminder in place of the one before; none, and there is none any more. */
        fun keep(context: Context, reminder: ReminderShown?) {
            val kept = kept(context)
            val alarms = context.getSystemService(AlarmManager::class.java)
            if (reminder == null) {
                if (kept.contains(ON)) alarms.cancel(alarm(context))
                return kept.edit().clear().apply()
            }
            val known = kept.getString(ON, null)
            // The one of today is still to come; and what is set is not set again.
            if (known == LocalDate.now().toString() || known == reminder.on && kept.getString(WORDS, null) == reminder.words) return
            kept.edit().putString(ON, reminder.on).putInt(HOUR, reminder.hour.toInt())
                .putString(TITLE, reminder.title).putString(WORDS, reminder.words).apply()
            set(context, kept)
        }

        private fun set(context: Context, kept: SharedPreferences) {
            val on = LocalDate.parse(kept.getString(ON, null) ?: return)
            val at = on.atTime(kept.getInt(HOUR, 0), 0).atZone(ZoneId.systemDefault()).toInstant().toEpochMilli()
            // It need not be to the minute, and wakes nobody.
            context.getSystemService(AlarmManager::class.java).set(AlarmManager.RTC, at, alarm(context))
        }

        private fun alarm(context: Context): PendingIntent =
            PendingIntent.getBroadcast(context, 0, Intent(context, Reminders::class.java), PendingIntent.FLAG_IMMUTABLE or PendingIntent.FLAG_UPDATE_CURRENT)

        private fun kept(context: Context) = context.getSharedPreferences("reminder", Context.MODE_PRIVATE)

        /** Asks whether reminders may be shown, where nobody has said so; [refused] is called where they may not be. */
        fun ask(page: Activity, request: Int, refused: () -> Unit) {
            val asks = Build.VERSION.SDK_INT >= Build.VERSION_CODES.TIRAMISU
            if (asks && page.checkSelfPermission(Manifest.permission.POST_NOTIFICATIONS) != PackageManager.PERMISSION_GRANTED) {
                page.requestPermissions(arrayOf(Manifest.permission.POST_NOTIFICATIONS), request)
            } else if (!page.getSystemService(NotificationManager::class.java).areNotificationsEnabled()) {
                refused()
            }
        }
    }
}
