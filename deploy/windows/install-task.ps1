# PREVIEW: this script has not been run on Windows. Run it as an administrator.
param(
  [string]$Home_ = "$env:ProgramFiles\Borewarden",
  [string]$Config = "$env:ProgramData\Borewarden\agent.yaml"
)
$ErrorActionPreference = "Stop"
$action = New-ScheduledTaskAction -Execute "$Home_\bin\borewarden.cmd" -Argument "run --config `"$Config`""
$trigger = New-ScheduledTaskTrigger -AtStartup
$principal = New-ScheduledTaskPrincipal -UserId "NT AUTHORITY\LOCAL SERVICE" -LogonType ServiceAccount
$settings = New-ScheduledTaskSettingsSet -RestartCount 999 -RestartInterval (New-TimeSpan -Minutes 1) `
  -ExecutionTimeLimit ([TimeSpan]::Zero) -AllowStartIfOnBatteries -DontStopIfGoingOnBatteries
Register-ScheduledTask -TaskName "Borewarden" -Action $action -Trigger $trigger -Principal $principal -Settings $settings
