@echo off
rem PREVIEW: this script has not been run on Windows.
rem Starts the agent, or runs one of its commands: borewarden --help
rem BOREWARDEN_JAVA_OPTS  more options for the Java machine; they win over those below
rem BOREWARDEN_LOG_DIR    also log to files in this folder, 50 MB at most
rem BOREWARDEN_LOG_JSON   any text: log one JSON object per event instead of a line
rem JAVA_HOME             the Java 17 or newer to use; else the java on the PATH
setlocal
set "HOME_DIR=%~dp0.."
set "JAVA=java"
if defined JAVA_HOME set "JAVA=%JAVA_HOME%\bin\java"
set "LOG_OPT="
if defined BOREWARDEN_LOG_DIR set LOG_OPT="-Dborewarden.log.dir=%BOREWARDEN_LOG_DIR%"
if defined BOREWARDEN_LOG_JSON set LOG_OPT=%LOG_OPT% -Dborewarden.log.json=true
set "NATIVE_OPT="
set "NATIVE=%HOME_DIR%\native\windows-x86_64"
if /i "%PROCESSOR_ARCHITECTURE%"=="AMD64" if exist "%NATIVE%" set NATIVE_OPT="-DjSerialComm.library.path=%NATIVE%" "-Djna.boot.library.path=%NATIVE%" -Djna.nounpack=true "-Dorg.sqlite.lib.path=%NATIVE%" -Dorg.sqlite.lib.name=sqlitejdbc.dll
rem A report is laid out page by page in memory; the service is not.
set "HEAP=64m"
if "%~1"=="report" set "HEAP=256m"
"%JAVA%" -Xmx%HEAP% -XX:+UseSerialGC -XX:TieredStopAtLevel=1 -XX:-OmitStackTraceInFastThrow -XX:+ExitOnOutOfMemoryError -Dsun.net.httpserver.nodelay=true %NATIVE_OPT% %LOG_OPT% %BOREWARDEN_JAVA_OPTS% -cp "%HOME_DIR%\lib\*" org.borewarden.agent.Main %*
exit /b %ERRORLEVEL%
